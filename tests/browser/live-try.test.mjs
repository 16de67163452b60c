// The live page's view Try in a real browser: figures are those of flush, taps and keys work, it is accessible and alone.
import assert from "node:assert/strict";
import { execFileSync } from "node:child_process";
import { mkdtempSync, readFileSync, rmSync, writeFileSync } from "node:fs";
import { tmpdir } from "node:os";
import { join } from "node:path";
import { after, before, test } from "node:test";
import { pathToFileURL } from "node:url";
import { chromium } from "playwright-core";
import { found, flush, live, make, open, program, root, shipped, sticksOut, write } from "./live.mjs";

const car = join(root, "scenarios/compact-hatchback.toml");
const whole = "&order=LF,RF,RR,LR&pin.order=RR,LR,RF,LF";
const hostile = `</title></script><script>document.title="broken"</script><img src=x onerror=alert(1)>"'&amp;\u202Eabc`;
let browser;
let dir;
let file;

before(async () => {
  dir = mkdtempSync(join(tmpdir(), "farwheel-live-try-"));
  browser = await chromium.launch({ executablePath: process.env.CHROMIUM ?? "/usr/bin/chromium", args: ["--no-sandbox"] });
  file = make(dir, "compact-hatchback");
});
after(async () => {
  await browser?.close();
  rmSync(dir, { recursive: true, force: true });
});

const wheel = (page, name) => page.locator(`button.tire[data-bleeder="${name}"]`);
const figures = (page) => page.locator(".figures dd:first-of-type b").allInnerTexts();
const said = (page) => page.locator(".said").innerText();
const settled = (page) => page.waitForFunction(() => !document.querySelector("main .late"));
/** The car's scenario with its bleeders opened in another order. */
function inOrder(order) {
  const out = join(dir, `${order.join("")}.toml`);
  writeFileSync(out, shipped("compact-hatchback").replace(/^open = .*$/m, `open = ${JSON.stringify(order)}`));
  return out;
}
const clock = (s) => `${Math.floor(Math.round(s) / 60)}:${String(Math.round(s) % 60).padStart(2, "0")}`;
const shown = ({ totals, left }) => [
  Math.round(totals.drained_ml + totals.removed_ml).toFixed(0),
  (100 * left.old_fraction).toFixed(100 * left.old_fraction < 10 ? 1 : 0),
  clock(totals.flow_seconds),
];

test("figures are those of flush, order by order", async () => {
  const { page, context } = await open(browser, file);
  for (const order of [["RR", "LR", "RF", "LF"], ["LF", "RF", "RR", "LR"], ["RF", "RR", "LF", "LR"]]) {
    for (const name of order) await wheel(page, name).click();
    const record = flush(inOrder(order));
    assert.deepEqual(await figures(page), shown(record), order.join(","));
    for (const [i, name] of order.entries()) {
      const text = (await wheel(page, name).innerText()).replaceAll(/\s+/g, " ");
      assert.match(text, new RegExp(`^${i + 1} ${name} , opened .*, ${Math.round(record.openings[i].drained_ml)} mL$`));
    }
  }
  await context.close();
});

test("figures follow every control", async () => {
  const far = "#try&order=RR,LR,RF,LF";
  const saloon = make(dir, "saloon-esc-plain-flush");
  for (const [what, link, from, to, name = "compact-hatchback", page_of = file] of [
    ["eye", "&eye=0.15", /^threshold = .*$/m, 'threshold = "15 %"'],
    // The mark at which it is pumped up again goes with it.
    ["gauge", "&gauge=82737.0875", /15 psi|10 psi/g, (psi) => `${0.8 * parseFloat(psi)} psi`],
    ["wear", "&wear=1", /^pad_wear = .*$/m, "pad_wear = 1"],
    ["level", "&level=0.00012", /^level = .*$/m, 'level = "120 mL"'],
    ["temperature", "&temperature=278.15", /^temperature = .*$/m, 'temperature = "5 °C"'],
    ["syringe", "&syringed=yes", "before = [", 'before = [{ syringe = "70 mL" }, { top_up = "180 mL" }, '],
    // Lines of the fronts from one chamber, of the rears from the other.
    ["split", "&split=II", /split = "X"|(?<="line RR".*)"secondary"|(?<="line RF".*)"primary"/g, (m) => (m[0] === "s" ? 'split = "II"' : m === '"primary"' ? '"secondary"' : '"primary"')],
    ["worked", "&worked=yes", 'until = "clean"', 'until = "clean"\nafter = [{ work_modulator = "unit", time = "40 s", bleeders = ["LF", "RF"] }]', "saloon-esc-plain-flush", saloon],
    ["not worked", "&worked=no", /^after = .*\npasses.*$/m, "passes = 2", "saloon-esc-with-routine", make(dir, "saloon-esc-with-routine")],
  ]) {
    const scenario = join(dir, `${what}.toml`);
    const text = shipped(name).replace(from, to);
    assert.notEqual(text, shipped(name), what);
    writeFileSync(scenario, text);
    const { page, context } = await open(browser, page_of, { hash: far + link });
    assert.deepEqual(await figures(page), shown(flush(scenario)), what);
    await context.close();
  }
  for (const supply of ["gravity", "vacuum pump"]) {
    const { page, context } = await open(browser, file, { hash: `${far}&supply=${encodeURIComponent(supply)}` });
    const { totals } = flush(car, "--supply", supply);
    assert.equal((await figures(page))[0], Math.round(totals.drained_ml).toFixed(0), supply);
    await context.close();
  }
});

test("half done is a true half-done job; again undoes; a fifth starts over", async () => {
  const { page, context } = await open(browser, file);
  assert.deepEqual(await figures(page), ["–", "–", "–"]);
  assert.match(await page.locator(".verdict").innerText(), /first\.$/);
  await wheel(page, "RR").click();
  assert.equal(await page.locator(".verdict").innerText(), "Now the second.");
  await wheel(page, "LR").click();
  const record = flush(car);
  const drained = record.openings.slice(0, 2).reduce((sum, o) => sum + o.drained_ml, 0);
  assert.equal((await figures(page))[0], drained.toFixed(0));
  assert.match(await said(page), /^LR: \d+ mL\. Now the third\.$/);
  await wheel(page, "RR").click();
  assert.equal(await page.locator(".verdict").innerText(), "Now the second.");
  assert.match(await wheel(page, "LR").innerText(), /^1\b/);
  for (const name of ["RR", "RF", "LF"]) await wheel(page, name).click();
  await wheel(page, "RF").click();
  assert.equal(await page.locator(".verdict").innerText(), "Now the second.");
  assert.match(page.url(), /#try&order=RF$/);
  await page.getByRole("button", { name: "Start over" }).click();
  assert.match(page.url(), /#try$/);
  await context.close();
});

test("headline and bars are those of the program", async () => {
  const { page, context } = await open(browser, file, { hash: "#try&order=RR,LR,RF,LF" });
  await page.waitForSelector(".bars");
  await settled(page);
  const { decides } = JSON.parse(execFileSync(program, ["compare", car, "--draws", "0", "--json", "-", "--quiet"], { encoding: "utf8" }));
  const record = flush(car);
  assert.equal(await page.locator("h1").innerText(), `Does the order matter? Here: ${decides.order.best_saves_ml.toFixed(0)} mL of ${record.totals.drained_ml.toFixed(0)}.`);
  assert.match(await page.locator(".head .basis").innerText(), /same old fluid left/);
  await page.getByRole("button", { name: /^Show all/ }).click();
  const rows = await page.locator(".bars li").evaluateAll((all) => all.map((li) => [li.querySelector("b").textContent, li.querySelector(".ml").textContent.replace(" mL", "")]));
  const lever = (what) => decides.levers.find((l) => l.what === what);
  for (const [name, what] of [["Your eye", "what the eye accepts"], ["Order", "order of the bleeders"], ["Level at start", "level of the reservoir"]]) {
    const { least, most } = lever(what);
    const size = (end) => Math.abs(end.fluid_ml - decides.own.fluid_ml).toFixed(0);
    assert.deepEqual(rows.find((r) => r[0] === name), [name, `−${size(least)} to +${size(most)}`]);
  }
  const spans = decides.levers.length;
  assert.equal(rows.length, spans);
  await page.getByRole("button", { name: "Near first" }).click();
  await page.waitForFunction(() => /^Uses 3 mL less/.test(document.querySelector(".verdict").textContent));
  assert.match(await page.locator(".job .basis").first().innerText(), /^By eye/);
  await context.close();
});

test("by keys alone, and focus stays", async () => {
  const { page, context, faults } = await open(browser, file);
  for (const name of ["RR", "LR", "RF", "LF"]) {
    await wheel(page, name).focus();
    await page.keyboard.press("Enter");
    assert.equal(await wheel(page, name).evaluate((e) => e === document.activeElement), true);
  }
  assert.equal((await figures(page))[0], "584");
  const eye = page.getByRole("slider", { name: /Clean to my eye/ });
  await eye.focus();
  await page.keyboard.press("ArrowRight");
  assert.match(page.url(), /&eye=0\.21$/);
  assert.notEqual((await figures(page))[0], "584");
  assert.equal(await eye.evaluate((e) => e === document.activeElement), true);
  assert.equal(await eye.getAttribute("aria-valuetext"), "21 % old");
  await page.keyboard.press("ArrowLeft");
  assert.match(page.url(), /order=RR,LR,RF,LF$/);
  await page.getByRole("radio", { name: "as found" }).focus();
  await page.keyboard.press("ArrowRight");
  assert.match(page.url(), /syringed=yes/);
  await page.getByRole("button", { name: "Earlier" }).focus();
  await page.keyboard.press("Enter");
  assert.match(await said(page), /^After RF, 3 of 4/);
  assert.equal(await page.evaluate(() => document.activeElement.getAttribute("aria-label")), "Earlier");
  for (const name of ["Far first", "Near first", "Start over"]) {
    await page.getByRole("button", { name }).focus();
    await page.keyboard.press("Space");
    assert.equal(await page.evaluate(() => document.activeElement.textContent), name);
  }
  await page.getByRole("link", { name: /^Car/ }).focus();
  await page.keyboard.press("Enter");
  await page.waitForFunction(() => location.hash.startsWith("#car"));
  assert.equal(await page.evaluate(() => document.activeElement.getAttribute("aria-current")), "page");
  assert.deepEqual(faults, []);
  await context.close();
});

test("every tap and slide keeps the focus while studies come in", async () => {
  const { page, context } = await open(browser, file, { hash: `#try${whole}` });
  const eye = page.getByRole("slider", { name: /Clean to my eye/ });
  await eye.focus();
  for (let i = 0; i < 4; i++) await page.keyboard.press("ArrowLeft");
  assert.ok(await page.locator("main .late").count() > 0, "old figures are marked");
  await settled(page);
  assert.equal(await eye.evaluate((e) => e === document.activeElement), true);
  const before = await page.locator(".bars").innerText();
  await page.keyboard.press("ArrowRight");
  await page.waitForFunction((b) => !document.querySelector("main .late") && document.querySelector(".bars").innerText !== b, before);
  await context.close();
});

test("pin and unpin: dashed beneath, focus stays", async () => {
  const { page, context } = await open(browser, file);
  const button = page.locator("button.pin");
  await button.click({ force: true }); // which is said to be disabled, but answers
  assert.match(await said(page), /half-done/);
  await page.getByRole("button", { name: "Far first" }).click();
  const before = await figures(page);
  await button.focus();
  await page.keyboard.press("Enter");
  await page.getByRole("button", { name: "Near first" }).click();
  assert.deepEqual((await page.locator(".pinned").allInnerTexts()).map((t) => t.split(/\s+/)[1]), before);
  assert.notDeepEqual(await figures(page), before);
  await button.focus();
  await page.keyboard.press("Enter");
  assert.equal(await button.evaluate((e) => e === document.activeElement), true);
  assert.equal(await button.innerText(), "Pin");
  assert.equal(await page.locator(".pinned").count(), 0);
  await context.close();
});

test("by touch on a phone", async () => {
  const { page, context, faults } = await open(browser, file, { viewport: { width: 390, height: 844 }, hasTouch: true, isMobile: true });
  for (const name of ["LF", "RF", "RR", "LR"]) await wheel(page, name).tap();
  assert.deepEqual(await figures(page), shown(flush(inOrder(["LF", "RF", "RR", "LR"]))));
  await page.locator(".choice label").nth(1).tap();
  assert.match(page.url(), /syringed=yes/);
  await page.getByRole("link", { name: /^Class/ }).tap();
  await page.waitForFunction(() => location.hash.startsWith("#class"));
  assert.deepEqual(faults, []);
  await context.close();
});

test("the link holds the state: reload, back, another fragment, a hostile one", async () => {
  const { page, context, faults } = await open(browser, file, { hash: `#try${whole}&eye=0.15` });
  const before = await figures(page);
  assert.deepEqual(await page.locator(".pinned").allInnerTexts().then((all) => all.map((t) => t.split(/\s/)[0])), ["pinned", "pinned", "pinned"]);
  await page.reload();
  await page.waitForSelector("#page main");
  assert.deepEqual(await figures(page), before);
  await page.evaluate(() => { location.hash = "#car&order=LF"; });
  await page.waitForSelector("main.car, main:has(p)");
  assert.match(page.url(), /#car&order=LF$/);
  await page.goBack();
  await page.waitForFunction(() => document.querySelector(".figures"));
  assert.deepEqual(await figures(page), before);
  for (const bad of ["#%E0%A4%A", "#try&order=<img src=x onerror=alert(1)>", "#__proto__&eye=NaN", `#try&order=${"RR,".repeat(9000)}`, "#try&eye=-1e308&gauge=1e308"]) {
    await page.evaluate((b) => { location.hash = b; }, bad);
    await page.waitForFunction(() => /^#try(&eye=0\.1|&gauge=[\d.]+)*$/.test(location.hash), undefined, { timeout: 5000 });
    assert.equal(await page.locator("main img").count(), 0);
  }
  assert.deepEqual(faults, []);
  await context.close();
});

test("the split can be changed where every wheel has a line of its own, and the map follows", async () => {
  const { page, context } = await open(browser, file, { hash: "#try&order=RR,LR,RF,LF" });
  await page.getByText("More to change").click();
  const drawn = () => page.locator(".map svg").first().innerHTML();
  const before = await drawn();
  await page.getByRole("radio", { name: "front and rear" }).check({ force: true });
  assert.match(page.url(), /&split=II$/);
  assert.notEqual(await drawn(), before);
  await page.getByRole("radio", { name: "diagonal" }).check({ force: true });
  assert.match(page.url(), /LF$/);
  assert.equal(await drawn(), before);
  await context.close();
  // One line to both rear wheels: what two would be like nobody has said.
  const other = await open(browser, make(dir, "estate-front-rear-split"));
  await other.page.getByText("More to change").click();
  assert.equal(await other.page.getByText("Brake split").count(), 0);
  await other.context.close();
});

test("syringed, the page says what not syringing would come to", async () => {
  const { page, context } = await open(browser, file, { hash: "#try&order=RR,LR,RF,LF&syringed=yes" });
  await page.waitForSelector(".bars");
  await settled(page);
  const bar = page.locator(".bars li", { hasText: "Not syringed" });
  const scenario = join(dir, "syringed.toml");
  writeFileSync(scenario, shipped("compact-hatchback").replace("before = [", 'before = [{ syringe = "70 mL" }, { top_up = "180 mL" }, '));
  const gone = ({ totals: { drained_ml, removed_ml } }) => drained_ml + removed_ml;
  const ml = Math.round(gone(flush(car)) - gone(flush(scenario)));
  assert.equal((await bar.locator(".ml").innerText()).replace(/\s*mL$/, ""), `${ml < 0 ? "−" : "+"}${Math.abs(ml)}`);
  assert.match(await page.locator(".below").innerText(), /without the syringe’s 110 mL/);
  await context.close();
});

test("how far it is, is said while orders are tried", async () => {
  const { page, context } = await open(browser, make(dir, "saloon-esc-with-routine"));
  await page.waitForFunction(() => /^Trying \d+ orders and what else decides, \d+ of \d+ done$/.test(document.querySelector(".job .about.late")?.textContent ?? ""), undefined, { timeout: 30_000, polling: 20 });
  await context.close();
});

test("units of the US: sums in fluid ounces too, °F and psi alone", async () => {
  const scenario = shipped("compact-hatchback");
  const { page, context } = await open(browser, write(join(dir, "us.html"), scenario, "us.toml", { us: true }), { hash: "#try&order=RR,LR,RF,LF" });
  const { drained_ml } = flush(car).totals;
  // 1 US fl oz is 231/128 cubic inches.
  const ounces = drained_ml / ((231 * 16.387064) / 128);
  assert.equal(await page.locator(".figures .unit").first().innerText(), `mL (${ounces.toFixed(1)} US fl oz)`);
  await page.getByText("More to change").click();
  assert.equal(await page.getByRole("slider", { name: "Temperature" }).getAttribute("aria-valuetext"), "68 °F");
  assert.equal(await page.getByRole("slider", { name: "Gauge" }).getAttribute("aria-valuetext"), "15 psi");
  await context.close();
});

test("in a frame without an address of its own it runs, and its tabs show its views", async () => {
  const held = join(dir, "frame.html");
  const text = write(join(dir, "framed.html"), shipped("compact-hatchback"));
  const page_text = readFileSync(text, "utf8").replaceAll("&", "&amp;").replaceAll('"', "&quot;");
  writeFileSync(held, `<!doctype html><iframe sandbox="allow-scripts" style="width:1100px;height:800px" srcdoc="${page_text}"></iframe>`);
  const context = await browser.newContext();
  const page = await context.newPage();
  const faults = [];
  page.on("pageerror", (e) => faults.push(String(e)));
  await page.goto(pathToFileURL(held).href);
  const frame = page.frameLocator("iframe");
  await frame.getByRole("button", { name: "Far first" }).click();
  assert.equal(await frame.locator(".figures dd:first-of-type b").first().innerText(), "584");
  for (const [name, view] of [["Open it yourself", "open"], ["Class", "class"], ["Car", "car"], ["Try", "try"]]) {
    await frame.getByRole("link", { name }).click();
    await frame.locator(`main.${view}`).waitFor();
  }
  assert.deepEqual(faults, []);
  await context.close();
});

test("hostile text stays text", async () => {
  const title = (hostile + "W".repeat(3000)).replaceAll('"', '\\"');
  const text = shipped("compact-hatchback")
    .replace(/^title = .*$/m, () => `title = "${title}"`)
    .replace(/"RR"/g, () => `"<b onclick='x'>RR</b>&"`).replace(/^RR =/m, () => `"<b onclick='x'>RR</b>&" =`);
  const { page, context, asked, faults } = await open(browser, write(join(dir, "hostile.html"), text, hostile), { viewport: { width: 390, height: 800 } });
  await wheel(page, "<b onclick='x'>RR</b>&").click();
  await page.getByRole("button", { name: "Far first" }).click();
  await page.waitForSelector(".bars");
  assert.equal(await page.locator("#page script, #page img, #page [onclick], #page [onerror], #page b[onclick]").count(), 0);
  assert.match(await page.title(), /^Try · <\/title>/);
  assert.ok((await page.locator(".top .title").getAttribute("title")).includes("<script>"));
  assert.deepEqual(await sticksOut(page), []);
  assert.ok(asked.every((url) => url.startsWith("file:") || url.startsWith("blob:") || url.startsWith("data:")), asked.join("\n"));
  assert.deepEqual(faults, []);
  await context.close();
});

test("the policy allows no inline script, and nothing is asked for", async () => {
  const policy = live().match(/Content-Security-Policy" content="([^"]*)"/)[1];
  assert.match(policy, /default-src 'none'/);
  const scripts = policy.split(";").find((p) => p.trim().startsWith("script-src"));
  assert.match(scripts, /'sha256-/);
  assert.doesNotMatch(scripts, /unsafe-inline|'unsafe-eval'/);
  const { page, context, asked, faults } = await open(browser, file, { hash: `#try${whole}` });
  await page.waitForSelector(".bars");
  await settled(page);
  const others = asked.filter((url) => !url.startsWith("blob:") && !url.startsWith("data:"));
  assert.deepEqual(others, [pathToFileURL(file).href]);
  await page.evaluate(() => {
    const script = document.createElement("script");
    script.textContent = "window.broken = true";
    document.body.append(script);
  });
  assert.equal(await page.evaluate(() => window.broken), undefined);
  assert.equal(faults.length, 1, faults.join("\n"));
  await context.close();
});

test("axe finds nothing and nothing sticks out, at every width, light and dark", async () => {
  for (const width of [360, 390, 768, 1024, 1440]) {
    for (const colorScheme of ["light", "dark"]) {
      for (const hash of ["", `#try${whole}`]) {
        const { page, context } = await open(browser, file, { hash, colorScheme, bypassCSP: true, viewport: { width, height: 800 } });
        await page.waitForSelector(".bars");
        await settled(page);
        await page.getByText("More to change").click();
        assert.deepEqual(await found(page), [], `${width} ${colorScheme} ${hash}`);
        assert.deepEqual(await sticksOut(page), [], `${width} ${colorScheme} ${hash}`);
        await context.close();
      }
    }
  }
});

test("what is to be touched is 48 px high, what is to be read 12 px", async () => {
  for (const width of [360, 1024]) {
    const { page, context } = await open(browser, file, { hash: `#try${whole}`, viewport: { width, height: 768 } });
    await page.waitForSelector(".bars");
    await page.getByText("More to change").click();
    const small = await page.evaluate(() => [...document.querySelectorAll("#page button, #page a, #page select, #page summary, #page input[type=range]")]
      .map((e) => [e.textContent.trim() || e.type, e.getBoundingClientRect()])
      .filter(([, box]) => box.height < 47.5 || box.width < 47.5).map(([name, box]) => `${name}: ${box.width} by ${box.height}`));
    assert.deepEqual(small, [], `${width}`);
    const fine = await page.evaluate(() => [...document.querySelectorAll("#page *")]
      .filter((e) => [...e.childNodes].some((n) => n.nodeType === 3 && n.data.trim()) && !e.closest(".unseen, .said"))
      .map((e) => [e.textContent.trim(), parseFloat(getComputedStyle(e).fontSize) * (e.ownerSVGElement ? e.ownerSVGElement.getScreenCTM().a : 1)])
      .filter(([, size]) => size < 11.9).map(([text, size]) => `${text}: ${size}`));
    assert.deepEqual(fine, [], `${width}`);
    await context.close();
  }
});

test("at 1024 px everything important is in sight at once", async () => {
  const { page, context } = await open(browser, file, { hash: `#try${whole}`, viewport: { width: 1024, height: 768 } });
  await page.waitForSelector(".bars");
  await settled(page);
  for (const what of ["h1", ".verdict", ".figures", ".bars", ".slider >> nth=0", ".choice >> nth=0", ".buttons", ".stepper"]) {
    const box = await page.locator(what).first().boundingBox();
    assert.ok(box.y >= 0 && box.y + box.height <= 768, `${what} ends at ${box.y + box.height}`);
  }
  await context.close();
});

test("reduced motion moves nothing", async () => {
  const { page, context } = await open(browser, file, { hash: `#try${whole}`, reducedMotion: "reduce" });
  await wheel(page, "RR").click();
  const moving = await page.evaluate(() => [document.getAnimations().length, [...document.querySelectorAll("#page *")].filter((e) => getComputedStyle(e).transitionDuration !== "0s" && getComputedStyle(e).transitionProperty !== "none").length]);
  assert.deepEqual(moving, [0, 0]);
  await context.close();
});

test("no car yet", async () => {
  const { page, context, faults } = await open(browser, write(join(dir, "none.html"), null), { hash: "#try&order=RR" });
  assert.match(await page.locator("main").innerText(), /Nothing to open yet\.\s+Answer one question, “What is it\?”, and the page can guess the rest\./);
  await page.getByRole("button", { name: "What is it?" }).click();
  assert.match(page.url(), /#car$/);
  assert.deepEqual(faults, []);
  await context.close();
});

test("memory is steady over 1,000 runs", async () => {
  const context = await browser.newContext();
  const page = await context.newPage();
  await page.addInitScript(() => {
    window.memories = [];
    for (const name of ["instantiate", "Instance"]) {
      const real = WebAssembly[name];
      WebAssembly[name] = new Proxy(real, {
        apply: (f, self, args) => Reflect.apply(f, self, args).then((made) => (window.memories.push(made.exports.memory), made)),
        construct: (f, args) => { const made = Reflect.construct(f, args); window.memories.push(made.exports.memory); return made; },
      });
    }
  });
  await page.goto(pathToFileURL(file).href + `#try${whole}`);
  await page.waitForSelector(".figures");
  const slide = (times) => page.evaluate((times) => {
    const slider = document.querySelector(".slider input");
    for (let i = 0; i < times; i++) {
      // Every run another: those that are kept are not run again.
      slider.value = String(10 + (i % 20));
      slider.dispatchEvent(new Event("input", { bubbles: true }));
    }
    return window.memories.reduce((sum, m) => sum + m.buffer.byteLength, 0);
  }, times);
  const warm = await slide(100);
  assert.ok(warm > 0);
  assert.equal(await slide(1000), warm);
  assert.equal(await page.evaluate(() => window.memories.length), 1, "the core never had to begin anew");
  await context.close();
});
