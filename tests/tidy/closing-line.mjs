// Prints the closing line of a test run from the runner's own JSON reports.
import { readFileSync } from "node:fs";

const reports = process.argv.slice(2).map((path) => JSON.parse(readFileSync(path, "utf8")));
const sum = (count) => reports.reduce((total, report) => total + count(report), 0);
const passed = sum((report) => report.numPassedTests);
const failed = sum((report) => report.numFailedTests);
const skipped = sum((report) => report.numPendingTests + report.numTodoTests);
const line = `${passed} passed, ${failed} failed`;
console.log(skipped > 0 ? `${line}, ${skipped} skipped` : line);
