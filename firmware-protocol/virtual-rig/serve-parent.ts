import { callSideDoor, faultOf, type RigReply, type RigRequest } from './remote-side-door.ts';
import { type ServedRig, servePty } from './serve-pty.ts';

/** Serves a rig for the process that forked this one: side door over the channel; ends when the channel does. */
export function serveParent(): void {
  let rig: ServedRig | null = null;
  const reply = (message: RigReply): void => {
    // The parent may be killed between the look and the sending; its going is handled by `disconnect`.
    if (process.connected) process.send?.(message, undefined, undefined, () => {});
  };
  const act = async (request: RigRequest): Promise<unknown> => {
    if (request.do === 'start') {
      if (rig) throw new RangeError('this rig has been started already');
      rig = await servePty(request.options);
      return { path: rig.path };
    }
    if (!rig) throw new RangeError('this rig has not been started yet');
    return callSideDoor(rig, request.name, request.args);
  };
  process.on('message', (message) => {
    const request = message as RigRequest;
    act(request).then(
      (result) => reply({ id: request.id, ok: true, result }),
      (error: unknown) => reply({ id: request.id, ok: false, error: faultOf(error) }),
    );
  });
  // A terminal's Ctrl-C reaches the whole group: who started the rig decides, and stops the carriage over the line.
  for (const signal of ['SIGINT', 'SIGHUP'] as const) process.on(signal, () => undefined);
  process.on('disconnect', () => {
    (rig?.close() ?? Promise.resolve()).finally(() => process.exit(0));
  });
}
