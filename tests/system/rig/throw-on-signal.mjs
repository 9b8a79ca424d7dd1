// Loaded before the controller (`--import`): a signal that means nothing to it becomes a mistake in the program.
process.on("SIGWINCH", () => {
  throw new Error("planted exception");
});
process.on("SIGURG", () => {
  void Promise.reject(new Error("planted rejection"));
});
