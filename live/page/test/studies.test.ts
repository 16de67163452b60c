import assert from "node:assert/strict";
import { test } from "node:test";
import type { App } from "../src/app.ts";
import { decidesOf, Studies } from "../src/views/try/studies.ts";

const pause = (ms: number) => new Promise((done) => setTimeout(done, ms));

/** A page whose background answers with what it was asked, or with what `answer` makes of that. */
function page(answer: (question: { change: object }) => unknown = (q) => ({ ok: q.change })) {
  const asked: object[] = [];
  let drawn = 0;
  const app = {
    text: "text", file: "file", draw: () => drawn++,
    background: { giveUp() {}, async ask(q: { change: object }, progress: (done: number, of: number) => void) { asked.push(q.change); progress(asked.length, 5); return answer(q); } },
  } as unknown as App;
  return { app, asked, drawn: () => drawn };
}
const order = (name: string) => ({ order: [name] });

test("asks after a pause, and only what is wanted last", async () => {
  const { app, asked, drawn } = page();
  const studies = new Studies();
  for (const name of ["a", "b", "c"]) {
    studies.want(app, [decidesOf(order(name))]);
    await pause(20);
  }
  assert.deepEqual(asked, []);
  await pause(300);
  assert.deepEqual(asked, [order("c")]);
  // For how far it is, and for the answer.
  assert.equal(drawn(), 2);
  assert.equal(studies.progress, "");
  assert.deepEqual(studies.decides("far", order("c")), { answer: order("c"), late: false, error: "" });
});

test("what was told last stands until the next is told", async () => {
  const { app } = page();
  const studies = new Studies();
  assert.deepEqual(studies.decides("far", order("a")), { answer: undefined, late: true, error: "" });
  studies.want(app, [decidesOf(order("a"))]);
  await pause(300);
  studies.decides("far", order("a"));
  assert.deepEqual(studies.decides("far", order("b")), { answer: order("a"), late: true, error: "" });
  studies.forget();
  assert.deepEqual(studies.decides("far", order("b")), { answer: undefined, late: true, error: "" });
});

test("what is known is not asked again, nor twice at once", async () => {
  const { app, asked } = page();
  const studies = new Studies();
  const both = [decidesOf(order("a")), decidesOf(order("b"))];
  studies.want(app, both);
  await pause(100);
  studies.want(app, both);
  await pause(200);
  studies.want(app, both);
  await pause(300);
  assert.deepEqual(asked, [order("a"), order("b")]);
});

test("what was given up is asked again, what cannot be answered is not", async () => {
  let times = 0;
  const given_up = page(() => (times++ === 0 ? undefined : { error: "no" }));
  const studies = new Studies();
  const want = async () => {
    studies.want(given_up.app, [decidesOf(order("a"))]);
    await pause(300);
  };
  await want();
  assert.equal(studies.decides("far", order("a")).error, "");
  await want();
  await want();
  assert.equal(given_up.asked.length, 2);
  assert.equal(studies.decides("far", order("a")).error, "no");
});
