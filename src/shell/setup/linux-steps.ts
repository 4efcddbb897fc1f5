import { existsSync, readFileSync } from 'node:fs';
import { userInfo } from 'node:os';
import { findElectronRuntime } from './runtime.ts';
import { serialPermission } from './serial-permission.ts';
import type { Step, StepResult } from './step.ts';
import { runTool } from './tool.ts';
import { debianPackages, missingNeeds, unresolvedLibraries } from './window-needs.ts';

const aptWords = ['-o', 'DPkg::Lock::Timeout=300', 'install', '-y', '--no-install-recommends'];
const isRoot = (): boolean => process.getuid?.() === 0;

async function systemPackages(): Promise<StepResult> {
  const step = 'system packages';
  const missing = await missingNeeds();
  if (missing.length === 0) return { step, state: 'ready', text: 'all that the window and its tests need' };
  const names = missing.map(({ name }) => name).join(', ');
  if (!existsSync('/usr/bin/apt-get')) {
    return {
      step,
      state: 'left',
      text: `missing: ${names}. Install what brings them with this system's package manager`,
    };
  }
  if (!isRoot()) {
    const line = `sudo apt-get update && sudo apt-get install -y ${(await debianPackages(missing)).join(' ')}`;
    return { step, state: 'left', text: `missing: ${names}`, line };
  }
  process.stderr.write(`Installing what brings ${names} ...\n`);
  const env = { ...process.env, DEBIAN_FRONTEND: 'noninteractive' };
  let packages: readonly string[];
  try {
    await runTool('apt-get', ['-o', 'DPkg::Lock::Timeout=300', 'update'], { env });
    packages = await debianPackages(missing);
    await runTool('apt-get', [...aptWords, ...packages], { env });
  } catch (cause) {
    const why = cause instanceof Error ? cause.message : String(cause);
    const line = `apt-get update && apt-get install -y ${(await debianPackages(missing)).join(' ')}`;
    return { step, state: 'left', text: `missing: ${names}. ${why}`, line };
  }
  const still = await missingNeeds();
  if (still.length === 0) return { step, state: 'done', text: `installed ${packages.join(' ')}` };
  return { step, state: 'left', text: `still missing after apt-get: ${still.map(({ name }) => name).join(', ')}` };
}

/** The dynamic linker has the last word on what the runtime's executable needs. */
async function runtimeLibraries(): Promise<StepResult> {
  const step = 'window libraries';
  const runtime = findElectronRuntime();
  if (runtime === null) return { step, state: 'left', text: 'not looked at: there is no window runtime' };
  const unresolved = await unresolvedLibraries(runtime.executable);
  if (unresolved.length === 0) return { step, state: 'ready', text: 'the runtime finds every library' };
  return { step, state: 'left', text: `the runtime does not find ${unresolved.join(', ')}` };
}

function readSetting(file: string): string | null {
  return existsSync(file) ? readFileSync(file, 'utf8').trim() : null;
}

/** Chromium's sandbox needs user namespaces; some systems forbid them to ordinary users. */
async function sandbox(): Promise<StepResult> {
  const step = 'sandbox';
  const apparmor = '/proc/sys/kernel/apparmor_restrict_unprivileged_userns';
  const clone = '/proc/sys/kernel/unprivileged_userns_clone';
  if (isRoot()) return { step, state: 'ready', text: 'run as root the tests start the window without it' };
  if (readSetting(apparmor) === '1') {
    const line = 'sudo sysctl -w kernel.apparmor_restrict_unprivileged_userns=0';
    return { step, state: 'left', text: 'this system forbids user namespaces, which the window’s sandbox needs', line };
  }
  if (readSetting(clone) === '0') {
    const line = 'sudo sysctl -w kernel.unprivileged_userns_clone=1';
    return { step, state: 'left', text: 'this system forbids user namespaces, which the window’s sandbox needs', line };
  }
  return { step, state: 'ready', text: 'user namespaces are allowed' };
}

async function serialPort(): Promise<StepResult> {
  const step = 'serial port';
  const { isGranted, group, refusedPorts } = serialPermission();
  if (isGranted) return { step, state: 'ready', text: 'this user may open serial ports' };
  const after = 'Needed for a real rig only; log in again afterwards';
  if (group === null) {
    return {
      step,
      state: 'left',
      text: `this user may not open ${refusedPorts.join(', ') || 'serial ports'}. ${after}`,
      isOptional: true,
    };
  }
  const what = refusedPorts.length > 0 ? refusedPorts.join(', ') : 'serial ports';
  const text = `this user may not open ${what}: not a member of the group ${group}. ${after}`;
  return { step, state: 'left', text, line: `sudo usermod -aG ${group} ${userInfo().username}`, isOptional: true };
}

/** The steps of a Linux system, in the order in which one prepares the next. */
export function linuxSteps(windowRuntime: Step): Readonly<Record<string, Step>> {
  return {
    'system packages': systemPackages,
    'window runtime': windowRuntime,
    'window libraries': runtimeLibraries,
    sandbox,
    'serial port': serialPort,
  };
}
