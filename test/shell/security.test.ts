import { join, sep } from 'node:path';
import fc from 'fast-check';
import { expect, test } from 'vitest';
import { contentSecurityPolicy, fileFor, mayRequest } from '../../src/shell/security.ts';

const folder = join(sep, 'app', 'renderer');

test('a file of the window is found by its URL', () => {
  expect(fileFor('faderwright://window/index.html', folder)).toBe(join(folder, 'index.html'));
  expect(fileFor('faderwright://window/assets/a%20b.js?x#y', folder)).toBe(join(folder, 'assets', 'a b.js'));
});

test.each([
  'faderwright://window/..%2f..%2fetc%2fpasswd',
  'faderwright://window/%2e%2e/shell.cjs',
  'faderwright://window/../renderer-of-another/x.js',
  'faderwright://window/%00.html',
  'faderwright://window/%e0%a4%a',
  'faderwright://other/index.html',
  'https://window/index.html',
  'not a URL',
])('%s is no file of the window', (url) => {
  const path = fileFor(url, folder);
  // A URL parser resolves plain dots itself; what stays inside the folder is harmless.
  expect(path === null || path.startsWith(folder + sep)).toBe(true);
  if (!url.includes('/../')) expect(path?.includes('passwd') ?? false).toBe(false);
});

test('no path whatever leads out of the folder', () => {
  const piece = fc.oneof(fc.constantFrom('..', '%2e%2e', '%2f', '%5c', '/', '\\', '%00', '.'), fc.string());
  fc.assert(
    fc.property(fc.array(piece, { maxLength: 8 }), (pieces) => {
      const path = fileFor(`faderwright://window/${pieces.join('')}`, folder);
      return path === null || path.startsWith(folder + sep);
    }),
  );
});

test('requests are answered for our own window only, for the inspector only from a checkout', () => {
  expect(mayRequest('faderwright://window/index.html', false)).toBe(true);
  for (const url of ['https://example.invalid/', 'faderwright://windowx/', 'file:///etc/passwd', 'data:,x', 'blob:x'])
    expect(mayRequest(url, true), url).toBe(false);
  expect(mayRequest('devtools://devtools/x', false)).toBe(false);
  expect(mayRequest('devtools://devtools/x', true)).toBe(true);
});

test('the content policy allows nothing inline, nothing remote, no code from text', () => {
  expect(contentSecurityPolicy).not.toMatch(/unsafe-|https?:|wss?:|\*|data:|blob:/);
  expect(contentSecurityPolicy).toContain("default-src 'none'");
  expect(contentSecurityPolicy).toContain("require-trusted-types-for 'script'");
});
