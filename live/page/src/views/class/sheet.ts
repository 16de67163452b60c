// The result, to be printed. The name is neither sent nor kept.
import { html, nothing, type TemplateResult } from "lit-html";
import type { Quiz } from "./asked.ts";
import type { Asked } from "./quiz.ts";
import { points, right, said } from "./words.ts";

export interface Sheet {
  name: string;
  title: string;
  rename(name: string): void;
  again(): void;
  others(): void;
}

export function sheet(quiz: Quiz, asked: Asked[], doing: Sheet): TemplateResult {
  const sum = asked.reduce((s, a) => s + a.points, 0);
  return html`<h1 tabindex="-1" class="asks">${points(sum)} of ${quiz.questions.length} points.</h1>
    <p class="of"><bdi title=${doing.title}>${doing.title}</bdi> · set ${quiz.seed}${doing.name ? html` · <bdi class="name">${doing.name}</bdi>` : nothing}</p>
    <div class="result"><table><thead><tr><th scope="col">Question</th><th scope="col">You</th><th scope="col">It is</th><th scope="col">Points</th></tr></thead>
    <tbody>${quiz.questions.map((q, i) => html`<tr><td>${i + 1}. ${q.asks}<p class="about">${q.reason}</p></td><td class="you">${asked[i]?.said === undefined ? "–" : said(q.answer, asked[i]!.said!)}</td><td>${right(q.answer)}</td><td>${points(asked[i]?.points ?? 0)}</td></tr>`)}</tbody>
    <tfoot><tr><th scope="row" colspan="3">Sum</th><td>${points(sum)}</td></tr></tfoot></table></div>
    <div class="ends"><label>Name on the sheet, if you like <input type="text" maxlength="60" autocomplete="off" .value=${doing.name} @input=${(e: Event) => doing.rename((e.target as HTMLInputElement).value)}></label>
    <button type="button" class="chief" @click=${() => print()}>Print the sheet</button>
    <button type="button" @click=${doing.again}>The same questions again</button>
    <button type="button" @click=${doing.others}>New questions</button></div>
    <p class="about">Nothing is sent anywhere, and nothing is kept when the page is closed.</p>`;
}
