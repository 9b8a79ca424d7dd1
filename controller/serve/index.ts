export { type Served, type ServeOptions, startServe } from "./server.ts";
export { tankAnswer } from "./tank-answer.ts";
