// check_openapi.mjs DOCUMENT ANSWERS
//
// Holds answers of a server, as [{"method", "path", "body", "status", "answer"}…], against an OpenAPI 3.1
// document, whose schemas are JSON Schema 2020-12 (OpenAPI 3.1.0, 4.8.24), with ajv. `path` is as the
// document writes it. Says each thing that does not fit; and which documented call was never answered
// with 200 or 101.
import { readFileSync } from "node:fs";
import Ajv2020 from "ajv/dist/2020.js";

const [document, answers] = process.argv.slice(2, 4).map((name) => JSON.parse(readFileSync(name, "utf8")));
const ajv = new Ajv2020({ allErrors: true, strict: true, strictRequired: false });
ajv.addSchema({ $id: "openapi", components: document.components, $defs: {} }, "openapi");
ajv.addVocabulary(["components"]);

const validators = new Map();
function check(schema, value, what) {
  const name = JSON.stringify(schema);
  if (!validators.has(name)) {
    validators.set(name, ajv.compile(JSON.parse(name.replaceAll('"#/', '"openapi#/'))));
  }
  const validate = validators.get(name);
  return validate(value) ? [] : [`${what}: ${ajv.errorsText(validate.errors)}: ${JSON.stringify(value).slice(0, 300)}`];
}

const faults = [];
const answered = new Set();
for (const { method, path, body, status, answer } of answers) {
  const what = `${method} ${path} → ${status}`;
  const call = document.paths[path]?.[method.toLowerCase()];
  if (!call) {
    faults.push(`${what}: not documented`);
    continue;
  }
  const documented = call.responses[status];
  if (!documented) {
    faults.push(`${what}: this status is not documented`);
    continue;
  }
  const asked = call.requestBody?.content["application/json"].schema;
  if (status === 200 && asked && body !== null) faults.push(...check(asked, body, `${what}, what was asked`));
  if (status === 400 && asked && body !== null && check(asked, body, "").length === 0) {
    faults.push(`${what}: refused, though the document takes it: ${JSON.stringify(body)}`);
  }
  if (documented.content) faults.push(...check(documented.content["application/json"].schema, answer, what));
  if (status === 200 || status === 101) answered.add(`${method} ${path}`);
}
for (const [path, calls] of Object.entries(document.paths)) {
  for (const method of Object.keys(calls)) {
    const name = `${method.toUpperCase()} ${path}`;
    if (!answered.has(name)) faults.push(`${name}: never answered`);
  }
}
for (const fault of faults) console.log(fault);
console.log(`${answers.length} answers, ${answered.size} calls, ${faults.length} faults`);
process.exitCode = faults.length === 0 ? 0 : 1;
