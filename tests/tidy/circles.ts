/**
 * Files that import each other in a circle, each circle sorted by name. A strongly connected component of more than one
 * file: R. Tarjan, Depth-first search and linear graph algorithms, SIAM J. Comput. 1 (1972) 146-160.
 */
export function findCircles(importsOf: ReadonlyMap<string, readonly string[]>): string[][] {
  const found: string[][] = [];
  const order = new Map<string, number>();
  const lowest = new Map<string, number>();
  const path: string[] = [];
  const visit = (file: string): void => {
    order.set(file, order.size);
    lowest.set(file, order.get(file) as number);
    path.push(file);
    for (const target of importsOf.get(file) ?? []) {
      if (!importsOf.has(target)) continue;
      const isNew = !order.has(target);
      if (isNew) visit(target);
      if (!path.includes(target)) continue;
      const reached = (isNew ? lowest : order).get(target) as number;
      lowest.set(file, Math.min(lowest.get(file) as number, reached));
    }
    if (lowest.get(file) !== order.get(file)) return;
    const circle = path.splice(path.indexOf(file));
    if (circle.length > 1) found.push(circle.sort());
  };
  for (const file of importsOf.keys()) if (!order.has(file)) visit(file);
  return found;
}
