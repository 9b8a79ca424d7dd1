/** Lines of a table for a terminal: the first column to the left, the others to the right, each as wide as it must be. */
export function columns(heads: readonly string[], rows: readonly (readonly string[])[]): string[] {
  const widths = heads.map((head, place) => Math.max(head.length, ...rows.map((cells) => (cells[place] ?? "").length)));
  return [heads, ...rows].map((cells) =>
    cells
      .map((cell, place) => (place === 0 ? cell.padEnd(widths[0] ?? 0) : cell.padStart(widths[place] ?? 0)))
      .join("  "),
  );
}
