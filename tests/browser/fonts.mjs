// Which fonts a page is really lettered with.

/** Texts that are set in fonts of the machine instead of those that the page carries. */
export async function borrowed(page) {
  await page.evaluate(() => document.fonts.ready);
  const client = await page.context().newCDPSession(page);
  await client.send("DOM.enable");
  await client.send("CSS.enable");
  const { root } = await client.send("DOM.getDocument", { depth: -1 });
  const { nodeIds } = await client.send("DOM.querySelectorAll", { nodeId: root.nodeId, selector: "body *" });
  const found = [];
  let own = 0;
  for (const nodeId of nodeIds) {
    const { fonts } = await client.send("CSS.getPlatformFontsForNode", { nodeId });
    for (const f of fonts) {
      if (f.isCustomFont) { own += f.glyphCount; continue; }
      const { outerHTML } = await client.send("DOM.getOuterHTML", { nodeId });
      found.push(`${f.familyName}, ${f.glyphCount} letters: ${outerHTML.slice(0, 120)}`);
    }
  }
  // The check itself sees letters.
  if (own < 300) found.push(`only ${own} letters in the page's own fonts`);
  await client.detach();
  return found;
}
