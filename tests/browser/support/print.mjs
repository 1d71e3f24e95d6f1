// Prints HTML files by the real Chromium: node print.mjs FILE.html …, each to FILE-A4.pdf and
// FILE-Letter.pdf beside it. The page's own @page has the margins, the format is the paper's.

import {resolve} from "node:path";
import {pathToFileURL} from "node:url";
import {launch} from "./browser.mjs";

const browser = await launch();
try {
  const context = await browser.newContext({javaScriptEnabled: false});
  const page = await context.newPage();
  for (const file of process.argv.slice(2)) {
    const asked = [];
    page.on("request", (request) => asked.push(request.url()));
    await page.goto(pathToFileURL(resolve(file)).href, {waitUntil: "load"});
    if (asked.length !== 1) throw new Error(`${file} asks for more than itself: ${asked}`);
    page.removeAllListeners("request");
    for (const format of ["A4", "Letter"]) {
      await page.pdf({path: file.replace(/\.html$/, `-${format}.pdf`), format, printBackground: false});
    }
  }
} finally {
  await browser.close();
}
