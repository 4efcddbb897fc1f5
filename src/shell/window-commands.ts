/** What the window may ask of the shell, carried out: dialogs, files, printing, clipboard. */
import { readFile, stat, writeFile } from 'node:fs/promises';
import { basename, join } from 'node:path';
import { type BrowserWindow, clipboard, dialog, shell } from 'electron';
import type { ShellHandlers } from './bridge.ts';
import type { ChosenPaths } from './chosen-paths.ts';

/** A file that the person chose cannot be used. */
export class ChosenFileError extends Error {
  readonly code = 'file.unusable';
  readonly userFixable = true;
  override readonly name = 'ChosenFileError';
}

const largestTextFile = 5_000_000;

export interface WindowCommandNeeds {
  readonly window: () => BrowserWindow;
  readonly documentsFolder: string;
  readonly logFolder: string;
  readonly paths: ChosenPaths;
  readonly restartCore: () => Promise<void>;
  /** A jog key is still held down. */
  readonly held: () => void;
}

export function windowCommands(needs: WindowCommandNeeds): ShellHandlers {
  const { window, documentsFolder, logFolder, paths, restartCore, held } = needs;
  return {
    async 'file.open'({ title, filters }) {
      const { canceled, filePaths } = await dialog.showOpenDialog(window(), {
        title,
        filters,
        properties: ['openFile'],
      });
      const path = filePaths[0];
      if (canceled || path === undefined) return null;
      const facts = await stat(path);
      if (!facts.isFile()) throw new ChosenFileError(`${path} is not a file. Choose a file.`);
      const { size } = facts;
      if (size > largestTextFile) {
        throw new ChosenFileError(
          `${path} has ${size} bytes; at most ${largestTextFile} are read. Is it the right file?`,
        );
      }
      return { name: basename(path), text: await readFile(path, 'utf8') };
    },
    async 'file.choosePath'({ title, suggestedName, filters }) {
      const { canceled, filePath } = await dialog.showSaveDialog(window(), {
        title,
        filters,
        // Only a name: where it goes is for the person to say.
        defaultPath: join(documentsFolder, basename(suggestedName.replaceAll('\\', '/'))),
      });
      if (canceled || filePath === '') return null;
      paths.choose(filePath);
      return { path: filePath };
    },
    'file.show'({ path }) {
      paths.mustBeChosen(path);
      shell.showItemInFolder(path);
      return {};
    },
    async 'print.pdf'({ path }) {
      paths.mustBeChosen(path);
      const bytes = await window().webContents.printToPDF({ printBackground: true, pageSize: 'A4', landscape: true });
      await writeFile(path, bytes);
      return { bytes: bytes.length };
    },
    async 'print.paper'() {
      await new Promise<void>((resolve, reject) => {
        window().webContents.print({ printBackground: true }, (printed, reason) => {
          // The person closing the printer's dialog is no failure.
          if (printed || /cancel/i.test(reason)) resolve();
          else reject(new ChosenFileError(`Printing failed: ${reason}. Check the printer, or write a PDF instead.`));
        });
      });
      return {};
    },
    'clipboard.copy'({ text }) {
      clipboard.writeText(text);
      return {};
    },
    async 'logs.show'() {
      const failure = await shell.openPath(logFolder);
      if (failure !== '') throw new ChosenFileError(`Cannot open ${logFolder}: ${failure}. Open it by hand.`);
      return { folder: logFolder };
    },
    async 'core.restart'() {
      await restartCore();
      return {};
    },
    'jog.held'() {
      held();
      return {};
    },
  };
}
