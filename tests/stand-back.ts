import { setPriority } from "node:os";

/** Whoever only reckons stands back for the tests that read a clock. */
const STAND_BACK = 10;

setPriority(STAND_BACK);
