// The view Car for tests in a browser.
import { execFileSync } from "node:child_process";
import { program } from "./live.mjs";

/** Free text that tries to break out of the page. */
export const hostileTitle = `</title></script><script>document.title="broken"</script><img src=x onerror=alert(1)>`;

/** Shows questions, text or files. */
export const part = (page, name) => page.click(`.segments button:text-is("${name}")`);

export const headline = (page) => page.textContent(".car-page h1");

/** Whether a question is open. */
export const opened = (page, id) => page.getAttribute(`#car-row-${id}`, "aria-expanded").then((open) => open === "true");
export const openRow = async (page, id) => (await opened(page, id)) || page.click(`#car-row-${id}`);

/** The car's text; the questions are shown afterwards. */
export async function textOf(page) {
  await part(page, "Text");
  const text = await page.inputValue("#car-text");
  await part(page, "Questions");
  return text;
}

/** What the native program makes of answers. */
export const described = (answers) =>
  execFileSync(program, ["describe", "--defaults", ...answers.flatMap(([id, text]) => ["--answer", `${id}=${text}`]), "-o", "-"], { encoding: "utf8" });
