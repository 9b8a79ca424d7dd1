import { drawText, escapeXml, INNER, PAGE, STYLE } from "./drawing.ts";

/** A piece of the sheet that is never cut. */
export interface Block {
  readonly height: number;
  readonly draw: (y: number) => string;
  /** It stands on the page of what follows: a title alone at a page's foot names nothing. */
  readonly keepsWithNext?: true;
  /** What stands above it where it is the first on a page, such as the heads of a table's columns. */
  readonly under?: Block;
}

export interface PageWords {
  readonly title: string;
  /** Under the title of the first page, and beside it on all others. */
  readonly mark: string;
}

const FIRST_HEAD = 66;
const NEXT_HEAD = 40;
const FOOT = 26;

/** The blocks on as many pages of A4 as they need, each a drawing of its own. */
export function drawPages(blocks: readonly Block[], words: PageWords): string[] {
  const pages = layOut(blocks);
  return pages.map((page, index) => drawPage(page, index, pages.length, words));
}

function layOut(blocks: readonly Block[]): Block[][] {
  const room = (page: number) => PAGE.height - 2 * PAGE.margin - (page === 0 ? FIRST_HEAD : NEXT_HEAD) - FOOT;
  const pages: Block[][] = [[]];
  let used = 0;
  for (const group of joinKept(blocks)) {
    const height = group.reduce((sum, block) => sum + block.height, 0);
    const first = group[0] as Block;
    if (used > 0 && used + height > room(pages.length - 1)) {
      pages.push([]);
      used = 0;
    }
    if (used === 0 && first.under !== undefined) {
      (pages.at(-1) as Block[]).push(first.under);
      used += first.under.height;
    }
    (pages.at(-1) as Block[]).push(...group);
    used += height;
  }
  return pages;
}

function joinKept(blocks: readonly Block[]): Block[][] {
  const groups: Block[][] = [];
  let open: Block[] = [];
  for (const block of blocks) {
    open.push(block);
    if (block.keepsWithNext === true) continue;
    groups.push(open);
    open = [];
  }
  return open.length === 0 ? groups : [...groups, open];
}

function drawPage(blocks: readonly Block[], index: number, count: number, { title, mark }: PageWords): string {
  let y = PAGE.margin + (index === 0 ? FIRST_HEAD : NEXT_HEAD);
  const drawn = blocks.map((block) => {
    const here = block.draw(y);
    y += block.height;
    return here;
  });
  const head =
    index === 0
      ? drawText(0, PAGE.margin + 32, title, "h1") + drawText(0, PAGE.margin + 54, mark, "key")
      : drawText(0, PAGE.margin + 20, title, "strong") + drawText(INNER, PAGE.margin + 20, mark, "key end");
  return [
    `<svg xmlns="http://www.w3.org/2000/svg" width="210mm" height="297mm" viewBox="0 0 ${PAGE.width} ${PAGE.height}">`,
    `<title>${escapeXml(title)}, page ${index + 1} of ${count}</title><style>@page { size: A4; margin: 0 }${STYLE}</style>`,
    `<rect class="paper" width="${PAGE.width}" height="${PAGE.height}"/><g transform="translate(${PAGE.margin} 0)">`,
    head,
    ...drawn,
    drawText(INNER, PAGE.height - PAGE.margin, `page ${index + 1} of ${count}`, "key end"),
    "</g></svg>",
    "",
  ].join("\n");
}
