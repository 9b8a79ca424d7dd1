import { readFileSync } from "node:fs";

/** The rows of a table beside this file, by the names of its columns. */
export function readTable(name: string): Record<string, string>[] {
  const [head, ...lines] = readFileSync(new URL(name, import.meta.url), "utf8")
    .trim()
    .split("\n");
  const columns = head!.split(",");
  return lines.map((line) => {
    const cells = line.split(",");
    return Object.fromEntries(columns.map((column, index) => [column, cells[index]!]));
  });
}
