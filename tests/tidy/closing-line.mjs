// Prints the closing line of a test run from the runner's own JSON reports: a folder, and the names of the reports in it.
import { existsSync, readFileSync } from "node:fs";
import { join } from "node:path";

const [folder, ...names] = process.argv.slice(2);
const pathOf = (name) => join(folder, `${name}.json`);
const reports = names
  .filter((name) => existsSync(pathOf(name)))
  .map((name) => JSON.parse(readFileSync(pathOf(name), "utf8")));
const sum = (count) => reports.reduce((total, report) => total + count(report), 0);
const passed = sum((report) => report.numPassedTests);
const failed = sum((report) => report.numFailedTests);
const skipped = sum((report) => report.numPendingTests + report.numTodoTests);
const missing = names.filter((name) => !existsSync(pathOf(name)));
const parts = [`${passed} passed`, `${failed} failed`];
if (skipped > 0) parts.push(`${skipped} skipped`);
if (missing.length > 0) parts.push(`no report of ${missing.join(" and ")}`);
console.log(parts.join(", "));
