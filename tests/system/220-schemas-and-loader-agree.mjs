// The JSON Schemas give the same verdict as the loader on each file of tests/golden/verdicts, and take
// the files that ship. The npm package `ajv` judges by the schemas, in its strict mode. The other half,
// the loader on the same files, is in tests/unit/config/verdicts_test.cpp.
import assert from 'node:assert/strict';
import { readdirSync, readFileSync } from 'node:fs';
import { createRequire } from 'node:module';
import { join } from 'node:path';

const source = process.env.PANEWALK_SOURCE;
if (!source) throw new Error('PANEWALK_SOURCE is not set');
const { default: Ajv } = createRequire(join(source, 'tests/peers/'))('ajv');

const read = (path) => JSON.parse(readFileSync(join(source, path), 'utf8'));
const files = (folder) => readdirSync(join(source, folder))
  .filter((name) => name.endsWith('.json'))
  .sort()
  .map((name) => `${folder}/${name}`);

// Strict: a keyword that the draft does not know is an error, not a comment. Conditions ("if", "then") need
// no second "type" and no second "properties".
const ajv = new Ajv({ strict: true, strictTypes: false, strictRequired: false, allErrors: true });
const judges = Object.fromEntries(['prop', 'site', 'pattern'].map(
  (kind) => [kind, ajv.compile(read(`config/schema/${kind}.schema.json`))]));

const wrong = [];
let judged = 0;
function expect(verdict, kind, path) {
  judged += 1;
  const judge = judges[kind];
  assert.ok(judge, `${path}: no schema for "${kind}"`);
  if (judge(read(path)) === verdict) return;
  wrong.push(verdict
    ? `${path}: the loader takes it, the schema refuses it: ${ajv.errorsText(judge.errors)}`
    : `${path}: the loader refuses it, the schema takes it`);
}
const kind_of = (path) => path.split('/').at(-1).split('-')[0];

const good = files('tests/golden/verdicts/good');
const bad = files('tests/golden/verdicts/bad');
assert.ok(good.length >= 12, `${good.length} good files`);
assert.ok(bad.length >= 40, `${bad.length} bad files`);
for (const path of good) expect(true, kind_of(path), path);
for (const path of bad) expect(false, kind_of(path), path);

const shipped = { site: files('config'), prop: files('config/props'),
  pattern: [...files('patterns'), ...files('config/patterns')] };
assert.ok(shipped.site.length >= 1 && shipped.prop.length >= 5 && shipped.pattern.length >= 13);
for (const [kind, paths] of Object.entries(shipped)) {
  for (const path of paths) expect(true, kind, path);
}

// A control: the schemas are not one another, so that none of them takes just anything.
for (const [kind, paths] of Object.entries(shipped)) {
  for (const other of Object.keys(judges)) if (other !== kind) expect(false, other, paths[0]);
}

for (const line of wrong) console.error(line);
console.log(`${judged} files judged, ${wrong.length} verdicts differ`);
process.exit(wrong.length === 0 ? 0 : 1);
