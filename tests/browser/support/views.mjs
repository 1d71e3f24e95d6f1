// Every view of the page with something in it: how to get there, in an order in which each leaves behind
// what the next needs. Shared by the tests that look at all of them.

/** [name, async (page, daemon) => …]; the page shows that view afterwards. */
export const kViews = [
  ["home", (page) => page.visit("#/")],
  ["bench", async (page) => {
    await page.visit("#/prop/slip-window");
    await page.tap(page.page.locator('button[data-pattern="run-colours"]'));
    await page.lights("slip-window is lit: run-colours. Each run in its colour.");
    await page.tapPixel(9);
    await page.says(".pixel-top h2", "Pixel 9");
  }],
  ["bench by hand", async (page) => {
    await page.tap(page.page.locator('button[data-pattern="chase"]'));
    await page.lights(/lit: chase/);
    await page.tap("Hold");
    await page.says(".step-caption", /Held/);
  }],
  ["bench of a line", (page) => page.visit("#/prop/eaves-line")],
  ["check", (page) => page.visit("#/check/slip-window")],
  ["check, a step", async (page, daemon) => {
    await daemon.post("/api/bench/slip-window/begin");
    await page.visit("#/check/slip-window");
    await page.tap(page.page.getByRole("button", {name: /^Go on with step 1/}));
    await page.says(".flow-count", "Step 1 of 13");
  }],
  ["check, a note", async (page) => {
    await page.tap("No");
    await page.says(".flow-note-panel h2", "What differs?");
  }],
  ["check, cautions", async (page, daemon) => {
    await finish(daemon, "/api/bench/slip-window", (bench) => bench.next?.startsWith("load-") ? null : bench.next === "ruler" ? "no" : "yes");
    await page.reload();
    await page.tap(page.page.getByRole("button", {name: /^Go on with step 10/}));
    await page.says(".flow-question", "Before this is lit");
  }],
  ["check, the end", async (page, daemon) => {
    await finish(daemon, "/api/bench/slip-window", () => "yes");
    await page.title("What differs");
  }],
  ["punch list, empty", (page) => page.visit("#/punch")],
  ["walk", (page) => page.visit("#/walk")],
  ["walk, a stop", async (page, daemon) => {
    await daemon.post("/api/walk/begin", {by: "order"});
    await page.visit("#/");
    await page.visit("#/walk");
    await page.tap("Go on: slip-window, stop 1 of 5");
    await page.says(".flow-count", "Stop 1 of 5");
    await page.page.waitForSelector(".flow-picture svg");
  }],
  ["walk, which prop", async (page) => {
    await page.tap("Another prop lit");
    await page.says(".flow-focus", "Which prop lit instead?");
  }],
  ["walk, a note", async (page) => {
    await page.tap("Back to the answers");
    await page.tap("Something looks wrong");
    await page.says(".flow-focus", "What looks wrong?");
  }],
  ["walk, the end", async (page, daemon) => {
    const {walk} = await daemon.get("/api/walk");
    const answer = (prop, more) => daemon.post("/api/walk/answer", {walk, prop, ...more});
    await answer("slip-window", {seen: "as drawn"});
    await answer("door-ring", {seen: "another prop", other: "gable-line"});
    await answer("loft-windows", {seen: "nothing"});
    await answer("gable-line", {seen: "wrong", note: "flickers, only at the ridge"});
    await page.reload();
    await page.tap("Go on: eaves-line, stop 5 of 5");
    await page.tap("It lit as drawn");
    await page.title("The walk is done");
  }],
  ["punch list", async (page) => {
    await page.visit("#/punch");
    await page.says(".under", /2 of 5 as drawn/);
  }],
  ["fault finder", (page) => page.visit("#/find/door-ring")],
  ["fault finder, stations to tap", async (page, daemon) => {
    await daemon.post("/api/find/door-ring/begin", {place: "yard", from: "walk"});
    await page.visit("#/");
    await page.visit("#/find/door-ring");
    await page.tap(page.page.getByRole("button", {name: /^Go on with question 1/}));
    await finderAsks(page, daemon, "where");
    for (const index of [3, 17]) await page.tapPixel(index);
    await page.says(".find-hint", "2 marked; a tap unmarks:");
  }],
  ["fault finder, how far", (page, daemon) => finderAsks(page, daemon, "last-lit")],
  ["fault finder, colours", (page, daemon) => finderAsks(page, daemon, "colours")],
  ["fault finder, as drawn", (page, daemon) => finderAsks(page, daemon, "same")],
  ["fault finder, the finding", async (page, daemon) => {
    await daemon.post("/api/find/door-ring/begin", {place: "yard", from: "walk"});
    await finderAsks(page, daemon, null, "none");
    await page.says("main h1", /wrong$/);
  }],
  ["fault finder, a repair", async (page) => {
    await page.tap("It was something else");
    await page.says(".flow-note-panel h2", "It was something else");
  }],
  ["network", async (page) => {
    await page.visit("#/network");
    await page.tap(page.page.locator("summary"));
    await page.says(".net-numbers dd", /^\d+$/);
  }],
  ["cautions", (page) => page.visit("#/cautions")],
  ["nowhere", (page) => page.visit("#/elsewhere")],
];

/** Answers the fault finder's questions, by another device, until it asks for `kind` or has found something. */
async function finderAsks(page, daemon, kind, where = "unsure") {
  const path = "/api/find/door-ring";
  let now = await daemon.get(path);
  while (now.question && now.question.ask !== kind) {
    const answer = now.question.ask === "where" ? where : "unsure";
    now = await daemon.post(`${path}/answer`, {find: now.find, question: now.question.number, answer});
  }
  if (now.question) await page.says(".flow-count", `Question ${now.question.number}`);
}

/** Answers the newest check until it is done or answer(bench) gives null. */
async function finish(daemon, path, answer) {
  let bench = await daemon.get(path);
  while (bench.next) {
    const said = answer(bench);
    if (said === null) return;
    bench = await daemon.post(`${path}/answer`, {check: bench.check, step: bench.next, answer: said});
  }
}
