// Checks HTML files against the rules of the standard with the npm package html-validate.
// Usage: node validate-html.mjs FOLDER_WITH_NODE_MODULES FILE...
// Prints every fault; ends with 1 when there was one.
import { createRequire } from "node:module";
import { join } from "node:path";

const [folder, ...files] = process.argv.slice(2);
const { HtmlValidate, StaticConfigLoader } = createRequire(join(folder, "index.js"))("html-validate");
// `standard` holds what the HTML standard itself demands, and no matter of style.
const loader = new StaticConfigLoader({ extends: ["html-validate:standard"] });
const validator = new HtmlValidate(loader);
let faults = 0;
for (const file of files) {
  const report = await validator.validateFile(file);
  for (const result of report.results) {
    for (const message of result.messages) {
      faults += 1;
      console.log(`${file}:${message.line}:${message.column}: ${message.message} [${message.ruleId}]`);
    }
  }
}
console.log(`${files.length} pages checked, ${faults} faults`);
process.exit(faults > 0 ? 1 : 0);
