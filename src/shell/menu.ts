/** The application menu: the same five rooms as the screen, and what every desktop program has. */
import { Menu, type MenuItemConstructorOptions } from 'electron';
import type { MenuWish } from '../contract/shell.ts';

export function buildMenu(wish: (wish: MenuWish) => void, showLogs: () => void): Menu {
  const go = (label: string, target: MenuWish, accelerator?: string): MenuItemConstructorOptions => ({
    label,
    click: () => wish(target),
    ...(accelerator === undefined ? {} : { accelerator }),
  });
  const template: MenuItemConstructorOptions[] = [
    ...(process.platform === 'darwin' ? [{ role: 'appMenu' as const }] : []),
    {
      label: 'Station',
      submenu: [
        go('Stop the carriage', 'stop'),
        { type: 'separator' },
        go('Print this screen', 'print', 'CmdOrCtrl+P'),
        { type: 'separator' },
        { role: process.platform === 'darwin' ? 'close' : 'quit' },
      ],
    },
    { role: 'editMenu' },
    {
      label: 'Go to',
      submenu: [
        go('Bench', 'bench', 'CmdOrCtrl+1'),
        go('Faders', 'faders', 'CmdOrCtrl+2'),
        go('Laws', 'laws', 'CmdOrCtrl+3'),
        go('Rig', 'rig', 'CmdOrCtrl+4'),
        go('Settings and help', 'settings', 'CmdOrCtrl+5'),
      ],
    },
    {
      label: 'View',
      submenu: [
        { role: 'resetZoom' },
        { role: 'zoomIn' },
        { role: 'zoomOut' },
        { type: 'separator' },
        { role: 'togglefullscreen' },
      ],
    },
    {
      label: 'Help',
      submenu: [go('Help and cautions', 'settings', 'F1'), { label: 'Show log files', click: showLogs }],
    },
  ];
  return Menu.buildFromTemplate(template);
}
