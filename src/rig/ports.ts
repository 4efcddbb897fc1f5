import { readdir, readFile, realpath } from 'node:fs/promises';
import { dirname, join } from 'node:path';
import { SerialPort } from 'serialport';
import type { RigError } from './errors.ts';
import { diagnosePort } from './port-diagnosis.ts';

/** A serial port of this machine. What the system does not tell is null. */
export interface PortInfo {
  readonly path: string;
  /** A name that stays the same when the port is plugged in again elsewhere (Linux `/dev/serial/by-id`). */
  readonly stablePath: string | null;
  readonly vendor: string | null;
  readonly product: string | null;
  /** USB numbers, four lower-case hex digits. */
  readonly vendorId: string | null;
  readonly productId: string | null;
  readonly serialNumber: string | null;
  /** Why the port cannot be opened, with the remedy; null when nothing stands against it. */
  readonly problem: RigError | null;
}

/** What the serial library tells of a port. */
export interface ListedPort {
  readonly path: string;
  readonly manufacturer?: string | undefined;
  readonly serialNumber?: string | undefined;
  readonly vendorId?: string | undefined;
  readonly productId?: string | undefined;
}

export interface PortSources {
  /** Lists ports with the system's own means; may reject. */
  readonly list: () => Promise<readonly ListedPort[]>;
  /** Device and kernel folders (Linux). */
  readonly deviceFolder: string;
  readonly kernelFolder: string;
}

const systemSources: PortSources = {
  list: () => SerialPort.list(),
  deviceFolder: '/dev',
  kernelFolder: '/sys/class/tty',
};

/**
 * The ports of this machine, USB ports first. Never rejects: where the system's own list fails (no `udevadm`,
 * as in small containers), the device folder is read instead.
 */
export async function listPorts(sources: PortSources = systemSources): Promise<PortInfo[]> {
  const listed = await sources.list().catch(() => []);
  const scanned = await scanDevices(sources.deviceFolder);
  const stable = await stableNames(sources.deviceFolder);
  const paths = new Set([...listed.map((port) => port.path), ...scanned]);
  const ports: PortInfo[] = [];
  for (const path of paths) {
    const told = listed.find((port) => port.path === path);
    const usb = await usbFacts(sources.kernelFolder, path.slice(path.lastIndexOf('/') + 1));
    ports.push({
      path,
      stablePath: stable.get(path) ?? null,
      vendor: usb.manufacturer ?? told?.manufacturer ?? null,
      product: usb.product ?? null,
      vendorId: lowerCase(usb.idVendor ?? told?.vendorId),
      productId: lowerCase(usb.idProduct ?? told?.productId),
      serialNumber: usb.serial ?? told?.serialNumber ?? null,
      problem: await diagnosePort(path),
    });
  }
  return ports.sort((a, b) => rank(a) - rank(b) || a.path.localeCompare(b.path, 'en', { numeric: true }));
}

const rank = (port: PortInfo): number => (port.vendorId === null ? 1 : 0);
const lowerCase = (text: string | undefined): string | null => text?.toLowerCase() ?? null;

/** Ports that are surely plugged in: built-in `ttyS*` nodes exist without any hardware and are left to the list. */
async function scanDevices(folder: string): Promise<string[]> {
  const names = await readdir(folder).catch(() => []);
  return names.filter((name) => /^(ttyUSB|ttyACM|ttyAMA|rfcomm)\d+$/.test(name)).map((name) => join(folder, name));
}

async function stableNames(folder: string): Promise<Map<string, string>> {
  const byId = join(folder, 'serial', 'by-id');
  const names = new Map<string, string>();
  for (const name of await readdir(byId).catch(() => [])) {
    const link = join(byId, name);
    const target = await realpath(link).catch(() => null);
    if (target !== null) names.set(target, link);
  }
  return names;
}

type UsbFact = 'manufacturer' | 'product' | 'idVendor' | 'idProduct' | 'serial';

/** Climbs from the port to the USB device that carries it and reads what the device says of itself. */
async function usbFacts(kernelFolder: string, name: string): Promise<Partial<Record<UsbFact, string>>> {
  let folder = await realpath(join(kernelFolder, name, 'device')).catch(() => null);
  for (let level = 0; folder !== null && level < 5; level += 1) {
    const idVendor = await readFact(folder, 'idVendor');
    if (idVendor === undefined) {
      folder = dirname(folder);
      continue;
    }
    const facts: Partial<Record<UsbFact, string>> = { idVendor };
    for (const fact of ['manufacturer', 'product', 'idProduct', 'serial'] as const) {
      const value = await readFact(folder, fact);
      if (value !== undefined) facts[fact] = value;
    }
    return facts;
  }
  return {};
}

async function readFact(folder: string, fact: UsbFact): Promise<string | undefined> {
  const text = await readFile(join(folder, fact), 'utf8').catch(() => '');
  return text.trim() || undefined;
}
