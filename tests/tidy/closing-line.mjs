// Prints the closing line of a test run from the runner's own JSON report.
import { readFileSync } from "node:fs";

const report = JSON.parse(readFileSync(process.argv[2], "utf8"));
const skipped = report.numPendingTests + report.numTodoTests;
const line = `${report.numPassedTests} passed, ${report.numFailedTests} failed`;
console.log(skipped > 0 ? `${line}, ${skipped} skipped` : line);
