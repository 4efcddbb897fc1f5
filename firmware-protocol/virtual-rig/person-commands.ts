import { cutForPerson } from './person-cuts.ts';
import type { SideDoor } from './side-door.ts';

export const personHelp = `next                     put the next fader in
load NUMBER              put this fader of the batch in, 1 = the first
unload                   take the fader out
guard open|closed        clamp open|closed        stop pressed|released
cut shave left|right FROM TO DEPTH TOOL      cut the film of the fader in it, mm, with the tool of that name
cut plunge left|right AT DEPTH TOOL          the same, one thin cut
cut stop                 end a cut that goes on   cut ... at RATE   lets it deepen by RATE mm a second
unplug                   plug                     restart
certificate FILE         write this rig's calibration certificate
status                   help                     quit`;

/** One line typed by a person: does it and says what happened; null = leave. */
export function actForPerson(line: string, door: SideDoor): string | null {
  const [word = '', value = ''] = line.trim().split(/\s+/);
  switch (`${word} ${value}`.trim()) {
    case '':
      return '';
    case 'help':
      return personHelp;
    case 'quit':
      return null;
    case 'next':
      return inPlace(door.next());
    case 'unload':
      door.unload();
      return 'the rig is empty';
    case 'guard open':
    case 'guard closed':
      door.setGuard(value === 'closed');
      return `guard ${value}`;
    case 'clamp open':
    case 'clamp closed':
      door.setClamp(value === 'closed');
      return `clamp ${value}`;
    case 'stop pressed':
    case 'stop released':
      door.setEmergencyStop(value === 'released');
      return `emergency stop ${value}`;
    case 'unplug':
      door.unplug();
      return 'unplugged';
    case 'plug':
      door.plug();
      return 'plugged in';
    case 'load':
      return `a number is missing: "load 1" to "load ${door.moment().faders}"`;
    case 'restart':
      door.restart();
      return 'switched off and on';
    case 'status':
      return status(door);
  }
  if (word === 'cut') return cutForPerson(line, door);
  if (word === 'load' && /^\d+$/.test(value)) return inPlace(door.load(Number(value) - 1));
  return `"${line.trim()}" is not understood; "help" lists what is`;
}

function inPlace(fader: { readonly index: number; readonly serial: string }): string {
  return `fader ${fader.index + 1} is in: ${fader.serial}`;
}

function status(door: SideDoor): string {
  const now = door.moment();
  return [
    now.fader ? `fader ${now.fader.index + 1} of ${now.faders}, ${now.fader.serial}` : 'no fader',
    `carriage ${now.moving ? 'moving' : 'still'} at ${(now.positionUm / 1000).toFixed(3)} mm`,
    `motor power ${now.powered ? 'on' : 'off'}, ${now.homed ? 'homed' : 'not homed'}`,
    `guard ${now.guardClosed ? 'closed' : 'open'}, clamp ${now.clampClosed ? 'closed' : 'open'}, emergency stop ${now.emergencyStopReleased ? 'released' : 'pressed'}`,
    now.pluggedIn ? 'plugged in' : 'unplugged',
  ].join('; ');
}
