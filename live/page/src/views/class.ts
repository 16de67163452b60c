// Class.
import { html } from "lit-html";
import type { View } from "../app.ts";

export const classView: View = { word: "class", name: "Class", short: "Class", draw: () => html`<p>Class</p>` };
