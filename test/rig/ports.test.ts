import { execFile } from 'node:child_process';
import { chmod, chown, mkdir, mkdtemp, rm, symlink, writeFile } from 'node:fs/promises';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { promisify } from 'node:util';
import { afterEach, beforeEach, describe, expect, it } from 'vitest';
import { PortMissingError, PortPermissionError } from '../../src/rig/errors.ts';
import { diagnosePort, explainOpenFailure, permissionAdvice } from '../../src/rig/port-diagnosis.ts';
import { listPorts } from '../../src/rig/ports.ts';
import { openSerial } from '../../src/rig/serial-transport.ts';

let folder: string;

beforeEach(async () => {
  folder = await mkdtemp(join(tmpdir(), 'ports-'));
});

afterEach(() => rm(folder, { recursive: true }));

/** A machine with one USB serial port, as the kernel shows it. */
async function makeMachine(): Promise<{ deviceFolder: string; kernelFolder: string; port: string }> {
  const deviceFolder = join(folder, 'dev');
  const kernelFolder = join(folder, 'class', 'tty');
  const usb = join(folder, 'devices', 'usb1', '1-4');
  const port = join(deviceFolder, 'ttyACM0');
  await mkdir(join(deviceFolder, 'serial', 'by-id'), { recursive: true });
  await mkdir(join(usb, '1-4:1.0'), { recursive: true });
  await mkdir(join(kernelFolder, 'ttyACM0'), { recursive: true });
  await writeFile(port, '');
  await writeFile(join(deviceFolder, 'tty0'), '');
  await symlink(port, join(deviceFolder, 'serial', 'by-id', 'usb-bench-rig'));
  await symlink(join(usb, '1-4:1.0'), join(kernelFolder, 'ttyACM0', 'device'));
  await writeFile(join(usb, 'idVendor'), '12AB\n');
  await writeFile(join(usb, 'idProduct'), '00ff\n');
  await writeFile(join(usb, 'manufacturer'), 'Rig works\n');
  await writeFile(join(usb, 'product'), 'Bench rig\n');
  await writeFile(join(usb, 'serial'), 'R-0001\n');
  return { deviceFolder, kernelFolder, port };
}

describe('the port list', () => {
  it('tells vendor, product and stable name where the system has no device database', async () => {
    const { port, ...folders } = await makeMachine();
    const list = (): Promise<never> => Promise.reject(new Error('spawn udevadm ENOENT'));
    expect(await listPorts({ list, ...folders })).toEqual([
      {
        path: port,
        stablePath: join(folders.deviceFolder, 'serial', 'by-id', 'usb-bench-rig'),
        vendor: 'Rig works',
        product: 'Bench rig',
        vendorId: '12ab',
        productId: '00ff',
        serialNumber: 'R-0001',
        problem: null,
      },
    ]);
  });

  it('joins what the system lists with what it finds, USB ports first, gaps as null', async () => {
    const { port, ...folders } = await makeMachine();
    const plain = join(folders.deviceFolder, 'ttyS0');
    const list = async () => [{ path: plain }, { path: port, manufacturer: 'other', vendorId: '9999' }];
    const ports = await listPorts({ list, ...folders });
    expect(ports.map((listed) => listed.path)).toEqual([port, plain]);
    expect(ports[0]).toMatchObject({ vendor: 'Rig works', vendorId: '12ab' });
    expect(ports[1]).toMatchObject({ vendor: null, product: null, vendorId: null, serialNumber: null });
    expect(ports[1]?.problem).toBeInstanceOf(PortMissingError);
  });

  it('works on this machine', async () => {
    for (const port of await listPorts()) expect(port.path).not.toBe('');
  });

  it('is empty, not an error, where there is nothing to see', async () => {
    const nowhere = join(folder, 'nowhere');
    const list = (): Promise<never> => Promise.reject(new Error('no'));
    expect(await listPorts({ list, deviceFolder: nowhere, kernelFolder: nowhere })).toEqual([]);
  });
});

describe('opening a port that cannot be opened', () => {
  it('says that it is missing', async () => {
    const path = join(folder, 'ttyUSB9');
    await expect(openSerial(path)).rejects.toMatchObject({ code: 'portMissing', port: path, userFixable: true });
  });

  it('says that it is no serial line', async () => {
    const path = join(folder, 'notes.txt');
    await writeFile(path, 'x');
    await expect(openSerial(path)).rejects.toMatchObject({ code: 'portUnusable', port: path });
  });

  it('says that it is forbidden', async () => {
    const path = join(folder, 'ttyUSB0');
    await writeFile(path, '');
    await chmod(path, 0o000);
    if (process.getuid?.() !== 0) {
      await expect(openSerial(path)).rejects.toBeInstanceOf(PortPermissionError);
      return;
    }
    // To root nothing is forbidden, so somebody else has to try: a file of group 20 that others may not touch.
    await chmod(folder, 0o755);
    await chown(path, 0, 20);
    await chmod(path, 0o660);
    const diagnosis = new URL('../../src/rig/port-diagnosis.ts', import.meta.url).href;
    const script = `const { diagnosePort } = await import(${JSON.stringify(diagnosis)});
      const error = await diagnosePort(${JSON.stringify(path)});
      console.log(JSON.stringify({ code: error?.code, group: error?.group, command: error?.command }));`;
    const { stdout } = await promisify(execFile)(process.execPath, ['--input-type=module', '-e', script], {
      uid: 65_534,
      gid: 65_534,
    });
    expect(JSON.parse(stdout)).toMatchObject({
      code: 'portPermission',
      group: 'dialout',
      command: expect.stringMatching(/^sudo usermod -aG dialout /),
    });
  });

  it('advises a group only where that grants the port and nothing more', () => {
    const onLinux = process.platform === 'linux';
    const command = onLinux ? 'sudo usermod -aG uucp ab' : null;
    expect(permissionAdvice('uucp', 'ab', 0o660).command).toBe(command);
    expect(permissionAdvice('uucp', 'ab', 0o600).command).toBeNull();
    expect(permissionAdvice('root', 'ab', 0o660).command).toBeNull();
    expect(permissionAdvice(null, 'ab', 0o660).command).toBeNull();
    expect(new PortPermissionError('/dev/x', permissionAdvice('root', 'ab', 0o660)).message).toMatch(/administrator/);
  });

  it('tells the permission error in full: the group, the command, and to log in again', () => {
    const error = new PortPermissionError('/dev/ttyACM0', { group: 'dialout', command: 'sudo usermod -aG dialout ab' });
    expect(error.message).toMatch(/'dialout'.*sudo usermod -aG dialout ab.*log out and in/);
    expect(error).toMatchObject({ code: 'portPermission', userFixable: true });
  });

  it.each([
    ['Error Resource temporarily unavailable Cannot lock port', 'portBusy'],
    ['Opening COM3: Access denied', 'portBusy'],
    ['Opening COM9: File not found', 'portMissing'],
    ['Inappropriate ioctl for device', 'portUnusable'],
  ])('reads "%s" as %s', async (text, code) => {
    const path = join(folder, 'port');
    await writeFile(path, '');
    expect(await explainOpenFailure(path, new Error(text))).toMatchObject({ code });
  });

  it('finds nothing to say against a port that may be opened', async () => {
    const path = join(folder, 'port');
    await writeFile(path, '');
    expect(await diagnosePort(path)).toBeNull();
  });
});
