import { SerialPort } from 'serialport';
import { diagnosePort, explainOpenFailure } from './port-diagnosis.ts';
import { makeTransport, type Transport } from './transport.ts';

const BAUD_RATE = 115_200;

/**
 * Opens a serial port for this program alone.
 * Rejects with PortMissingError, PortPermissionError, PortBusyError or PortUnusableError.
 */
export async function openSerial(path: string): Promise<Transport> {
  const obstacle = await diagnosePort(path);
  if (obstacle !== null) throw obstacle;
  const port = new SerialPort({ path, baudRate: BAUD_RATE, lock: true, autoOpen: false });
  const failure = await new Promise<Error | null>((resolve) => port.open((error) => resolve(error)));
  if (failure !== null) throw await explainOpenFailure(path, failure);
  return makeTransport({ name: path, stream: port, release: () => releasePort(port) });
}

/**
 * Flushes first, so that no unsent order stays in the system's buffer, and closes whatever the flush says: a
 * vanished pty fails it. Modem lines are never touched, ptys have none.
 */
function releasePort(port: SerialPort): Promise<void> {
  return new Promise((resolve) => {
    const finish = (): void => {
      // After a disconnection the library still waits to read again; destroying ends that for good.
      port.destroy();
      resolve();
    };
    if (port.closing) {
      port.once('close', finish);
      return;
    }
    if (!port.isOpen) return finish();
    port.flush(() => {
      if (!port.isOpen) return finish();
      port.close(() => finish());
    });
  });
}
