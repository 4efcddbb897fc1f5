import { ArchiveRuntimeError } from './errors.ts';

/** Node-API level that the database library's prebuilt binary needs. */
const neededNodeApi = 10;

/**
 * Refuses a Node on which the native database library would crash instead of failing.
 * @throws ArchiveRuntimeError with the version found and the one needed.
 */
export function checkRuntime(versions: { readonly node: string; readonly napi?: string } = process.versions): void {
  const found = Number(versions.napi ?? 0);
  if (found >= neededNodeApi) return;
  throw new ArchiveRuntimeError(
    `The archive needs Node 22.14 or newer (Node-API ${neededNodeApi}); this is Node ${versions.node} (Node-API ${versions.napi ?? 'none'}). ` +
      'Start the program with npm run or npx from its folder, which uses the Node that was installed with it.',
  );
}
