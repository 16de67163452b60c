// Lines of a text, and the caret in it.

/** Line ends as an input field has them. */
export const unix = (text: string): string => text.replace(/\r\n?/g, "\n");

/** Where a line and column (from 1, in characters) stand, as an input field counts. */
export function place(text: string, line: number, column: number): number {
  let at = 0;
  for (let n = 1; n < line; n++) {
    const end = text.indexOf("\n", at);
    if (end < 0) return text.length;
    at = end + 1;
  }
  const end = text.indexOf("\n", at);
  const characters = [...text.slice(at, end < 0 ? text.length : end)];
  return at + characters.slice(0, Math.max(0, column - 1)).join("").length;
}

export const count = (text: string): number => text.split("\n").length;
