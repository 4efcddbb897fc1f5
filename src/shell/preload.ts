/** The only bridge into the sandboxed window: five functions, no Node, nothing else. */
import { contextBridge, ipcRenderer } from 'electron';
import type { Bridge } from '../contract/shell.ts';

function subscribe(channel: string, listener: (value: unknown) => void): () => void {
  const onMessage = (_event: unknown, value: unknown): void => listener(value);
  ipcRenderer.on(channel, onMessage);
  return () => ipcRenderer.off(channel, onMessage);
}

const bridge: Bridge = {
  callCore: (name, input) => ipcRenderer.invoke('core', name, input),
  callShell: (name, input) => ipcRenderer.invoke('shell', name, input),
  onCoreEvent: (listener) => subscribe('core-event', listener),
  onCoreLife: (listener) => subscribe('core-life', listener),
  onMenuWish: (listener) => subscribe('menu-wish', listener),
};

contextBridge.exposeInMainWorld('faderwright', bridge);
