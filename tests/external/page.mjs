// Opens report.html in a headless browser, at the width of a phone and of a desk, light and dark: no error, no violation of
// accessibility rules, nothing loaded, no sideways scrolling of the page, key facts there with and without script.
//
// node page.mjs PAGE BROWSER [FOLDER for pictures]; needs the packages axe-core and puppeteer-core.
import { createRequire } from "node:module";
import { pathToFileURL } from "node:url";
import { resolve } from "node:path";

const require = createRequire(resolve(process.cwd(), "package.json"));
const puppeteer = require("puppeteer-core");
const axe = require.resolve("axe-core/axe.min.js");
const [page_file, browser_file, pictures] = process.argv.slice(2);
const url = pathToFileURL(resolve(page_file)).href;
const faults = [];
const browser = await puppeteer.launch({ executablePath: browser_file, args: ["--no-sandbox", "--disable-gpu"] });
for (const width of [360, 1200]) {
  for (const scheme of ["light", "dark"]) {
    for (const script of [true, false]) {
      const at = `${width} px, ${scheme}, ${script ? "with" : "without"} script`;
      const page = await browser.newPage();
      page.on("console", (m) => m.type() === "error" && faults.push(`${at}: console: ${m.text()}`));
      page.on("pageerror", (e) => faults.push(`${at}: ${e.message}`));
      page.on("request", (r) => {
        if (r.url() !== url && !r.url().startsWith("data:")) faults.push(`${at}: loads ${r.url()}`);
      });
      await page.setViewport({ width, height: 800, deviceScaleFactor: 1 });
      await page.emulateMediaFeatures([{ name: "prefers-color-scheme", value: scheme }]);
      await page.setJavaScriptEnabled(script);
      await page.goto(url, { waitUntil: "load" });
      const text = await page.evaluate(() => document.body.innerText);
      for (const fact of ["What was done", "Distance", "Settings in force", "How far to trust"]) {
        if (!text.includes(fact)) faults.push(`${at}: does not say "${fact}"`);
      }
      const over = await page.evaluate(() => document.documentElement.scrollWidth - window.innerWidth);
      if (over > 0) faults.push(`${at}: ${over} px wider than the screen`);
      if (script) {
        const before = await page.$eval("#read", (e) => e.textContent);
        await page.focus("#at");
        await page.keyboard.press("ArrowRight");
        const after = await page.$eval("#read", (e) => e.textContent);
        if (!before || before === after) faults.push(`${at}: the speed cannot be read off by key (${before}, ${after})`);
      }
      if (pictures && script) await page.screenshot({ path: `${pictures}/page_${width}_${scheme}.png`, fullPage: true });
      if (script) {
        // The policy of the page lets nothing else run; the checks come in by the browser's own door.
        const client = await page.createCDPSession();
        const { readFileSync } = await import("node:fs");
        await client.send("Runtime.evaluate", { expression: readFileSync(axe, "utf8") });
        const found = await page.evaluate(() => window.axe.run());
        for (const v of found.violations) {
          faults.push(`${at}: ${v.id}: ${v.help}: ${v.nodes.slice(0, 2).map((n) => n.html.slice(0, 160)).join(" | ")}`);
        }
      }
      await page.close();
    }
  }
}
await browser.close();
for (const fault of faults) console.error(fault);
console.log(faults.length ? `${faults.length} faults` : "no faults");
process.exit(faults.length ? 1 : 0);
