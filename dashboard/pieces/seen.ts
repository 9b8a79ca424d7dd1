import type { Seen } from "../../shared/contract/walk.ts";
import type { Box } from "../incoming/box.ts";
import { readNumber, readSentence } from "../incoming/payload.ts";
import { valueWords } from "./words.ts";

/** A reading as a person sees it while a part runs. */
export const seenIn =
  (box: Box) =>
  ({ node, property, unit }: Seen): string => {
    const text = readSentence(box.text(node, property));
    if (property === "on") return text === "true" ? "on" : text === "false" ? "off" : "unknown";
    if (text === "has-water") return "water";
    if (unit === "") return text.replace("-", " ") || "unknown";
    const value = readNumber(text);
    if (value === null) return readSentence(box.text(node, "doubt")) || "unknown";
    return `${valueWords(value, 2)} ${unit}`;
  };
