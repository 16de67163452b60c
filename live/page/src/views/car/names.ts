// Names of files: what a person calls a car, made harmless.

const LONGEST = 60;

/** A file's name without folders, without what acts on a terminal or a page's direction; ends in .toml. */
export function fileName(text: string): string {
  const bare = text
    .normalize("NFC")
    .replace(/^.*[/\\]/s, "")
    .replace(/[\p{C}\p{Zl}\p{Zp}:*?"<>|]/gu, "")
    .replace(/\.toml$/i, "")
    .replace(/^[\s.]+|[\s.]+$/g, "");
  return `${[...bare].slice(0, LONGEST).join("").trim() || "car"}.toml`;
}

/** A file's name made of a title. */
export const titled = (title: string): string =>
  fileName(title.replace(/, as described$/, "").toLowerCase().replace(/[^\p{L}\p{N}]+/gu, "-").replace(/^-+|-+$/g, ""));

/** The name, or with a number behind it if there is one already. */
export function free(name: string, taken: readonly string[]): string {
  const stem = name.replace(/\.toml$/, "");
  for (let n = 1, tried = name; ; tried = `${stem} ${++n}.toml`) if (!taken.includes(tried)) return tried;
}
