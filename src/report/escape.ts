/** Putting foreign text safely into HTML and data safely into a script element. */

const entities: Readonly<Record<string, string>> = {
  '&': '&amp;',
  '<': '&lt;',
  '>': '&gt;',
  '"': '&quot;',
  "'": '&#39;',
};

/**
 * Text for element content or a double-quoted attribute. Control characters and direction overrides, which
 * could make a serial number read differently from what it is, become the replacement character.
 */
export function escapeHtml(text: string): string {
  return text
    .replace(/[\p{Cc}\p{Zl}\p{Zp}\u202a-\u202e\u2066-\u2069]/gu, (character) => (/\s/.test(character) ? ' ' : '\ufffd'))
    .replace(/[&<>"']/g, (character) => entities[character] ?? character);
}

/**
 * JSON that may stand inside `<script type="application/json">`: no `<`, `>` or `&` (so neither the end of the
 * element nor a comment can be forged) and no line separators. Non-finite numbers become null, as in JSON.
 */
export function scriptJson(value: unknown): string {
  return JSON.stringify(value).replace(
    /[<>&\u2028\u2029]/g,
    (character) => `\\u${character.charCodeAt(0).toString(16).padStart(4, '0')}`,
  );
}
