// Checks glTF files with the validator of the Khronos Group (npm package gltf-validator).
// Usage: node validate-gltf.mjs FOLDER_WITH_NODE_MODULES FILE...
// Prints one line for each file with an error, a warning or an unexpected hint; ends with 1 when there was one.
import { createRequire } from "node:module";
import { readFileSync } from "node:fs";
import { join } from "node:path";

const [folder, ...files] = process.argv.slice(2);
const validator = createRequire(join(folder, "index.js"))("gltf-validator");
let bad = 0;
for (const file of files) {
  const report = await validator.validateBytes(new Uint8Array(readFileSync(file)), { uri: file });
  const { numErrors, numWarnings, messages } = report.issues;
  if (numErrors + numWarnings > 0) {
    bad = 1;
    console.log(`${file}: ${JSON.stringify(messages.slice(0, 5))}`);
  }
}
console.log(`${files.length} files checked with gltf-validator ${validator.version()}`);
process.exit(bad);
