/** Tags that open and close in order, and no loose ampersand or bracket in between. */
export function isWellFormed(svg: string): boolean {
  const open: string[] = [];
  for (const [, closing, name, selfClosing] of svg.matchAll(/<(\/?)([a-z]+)(?:\s[^<>]*?)?(\/?)>/gi)) {
    if (closing === "/") {
      if (open.pop() !== name) return false;
    } else if (selfClosing !== "/") open.push(name as string);
  }
  const between = svg.replace(/<style>[^<]*<\/style>/g, "").replace(/<[^<>]*>/g, "");
  // biome-ignore lint/suspicious/noControlCharactersInRegex: XML forbids them
  return open.length === 0 && !/[<>\u0000-\u0008\u000b\u000c\u000e-\u001f]|&(?!(amp|lt|gt|quot);)/.test(between);
}
