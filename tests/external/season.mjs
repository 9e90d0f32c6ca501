// Opens the pages of a season in a browser: every link resolves, no request leaves the folder, nothing scrolls sideways at 360, 768
// or 1280 px, light or dark, and axe-core finds no serious fault.
//
// node season.mjs FOLDER BROWSER [NAME...]
import { createRequire } from "node:module";
import { existsSync, readdirSync, readFileSync, realpathSync } from "node:fs";

const require = createRequire(process.cwd() + "/");
const puppeteer = require("puppeteer-core");
const axe = readFileSync(require.resolve("axe-core/axe.min.js"), "utf8");

const [, , given, executablePath, ...some] = process.argv;
const folder = realpathSync(given);
const names = some.length ? some : readdirSync(folder).filter((name) => name.endsWith(".html"));
const faults = [];
const browser = await puppeteer.launch({ executablePath, args: ["--no-sandbox", "--disable-gpu"] });
for (const name of names) {
  const page = await browser.newPage();
  page.on("request", (request) => {
    const url = decodeURI(request.url());
    if (!url.startsWith(`file://${folder}/`) && !url.startsWith("data:")) faults.push(`${name}: asks for ${url}`);
  });
  page.on("console", (message) => {
    if (message.type() === "error") faults.push(`${name}: ${message.text()}`);
  });
  for (const theme of ["light", "dark"]) {
    await page.emulateMediaFeatures([{ name: "prefers-color-scheme", value: theme }]);
    for (const width of [360, 768, 1280]) {
      await page.setViewport({ width, height: 800 });
      await page.goto(`file://${folder}/${name}`);
      const over = await page.evaluate(() => document.documentElement.scrollWidth - document.documentElement.clientWidth);
      if (over > 0) faults.push(`${name}: scrolls ${over} px sideways at ${width} px, ${theme}`);
    }
    // The policy of the page forbids any script, this one too.
    await page.setBypassCSP(true);
    await page.reload();
    await page.evaluate("for (const d of document.querySelectorAll('details')) d.open = true");
    await page.evaluate(axe);
    const found = await page.evaluate("axe.run()");
    for (const fault of found.violations.filter((v) => ["serious", "critical"].includes(v.impact))) {
      faults.push(`${name}, ${theme}: ${fault.id}: ${fault.nodes[0].html.slice(0, 160)}`);
    }
    await page.setBypassCSP(false);
  }
  for (const link of await page.evaluate("[...document.querySelectorAll('a[href]')].map((a) => a.getAttribute('href'))")) {
    const file = link.split("#")[0];
    if (file && !existsSync(`${folder}/${file}`)) faults.push(`${name}: ${link} is not there`);
  }
  await page.close();
}
await browser.close();
for (const fault of faults) console.error(fault);
console.log(`season: ${names.length} pages, ${faults.length} faults`);
process.exit(faults.length ? 1 : 0);
