// Answers requests in Node, for tests: {"files": {name: text}, "requests": [...]} on standard input, a list of texts on
// standard output.
import { readFileSync } from "node:fs";
import { library } from "./library.mjs";

const asked = await library(process.argv[2]);
const { files, requests } = JSON.parse(readFileSync(0, "utf8"));
for (const [name, text] of Object.entries(files)) asked.writeFile(name, text);
console.log(JSON.stringify(requests.map((request) => asked.answer(JSON.stringify(request)))));
