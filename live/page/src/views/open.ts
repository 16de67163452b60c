// Open it yourself.
import { html } from "lit-html";
import type { View } from "../app.ts";

export const openView: View = { word: "open", name: "Open it yourself", short: "Open", draw: () => html`<p>Open it yourself</p>` };
