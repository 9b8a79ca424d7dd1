import { wrapWords } from "../wrap-words.ts";
import type { SitterSheet } from "./sheet.ts";

const WIDTH = 92;

/** The sheet as plain text. */
export const textOf = (sheet: SitterSheet): string =>
  [
    `Looking after ${sheet.tank}`,
    ...listed(sheet.cautions, "! "),
    ...section("How the box is", sheet.state),
    ...section("Whom to call", sheet.call),
    ...section("Refilling", listed(sheet.refill)),
    ...section(
      "When it says this, do that first, then call",
      sheet.alarms.flatMap(([title, action]) => listed([`${title}: ${action}`], "[ ] ")),
    ),
    ...section("Otherwise", listed(sheet.leave)),
    ...section("What was done", sheet.diary),
  ].join("\n");

const section = (title: string, lines: readonly string[]): string[] => [
  "",
  title,
  ...lines.map((line) => `  ${line}`.trimEnd()),
];

const listed = (sentences: readonly string[], bullet = ""): string[] =>
  sentences.flatMap((sentence) =>
    wrapWords(sentence, WIDTH - bullet.length).map(
      (line, index) => `${index === 0 ? bullet : " ".repeat(bullet.length)}${line}`,
    ),
  );
