export * from "./durable-memory.ts";
export * from "./events-between.ts";
export * from "./folder-lock.ts";
export { type History, type HistoryOptions, type LoggedEvent, openHistory } from "./history.ts";
export * from "./newer-memory.ts";
export { createNotebook, type Note, type Notebook } from "./notebook.ts";
export { openNotesFile } from "./notes-file.ts";
