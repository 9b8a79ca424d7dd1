/** Words on lines of at most so many characters; a longer word is cut. */
export function wrapWords(text: string, mostCharacters: number): string[] {
  const lines: string[] = [];
  let line = "";
  for (const word of text.split(" ").flatMap((whole) => cutWord(whole, mostCharacters))) {
    if (line !== "" && line.length + 1 + word.length > mostCharacters) {
      lines.push(line);
      line = word;
    } else line = line === "" ? word : `${line} ${word}`;
  }
  return [...lines, line];
}

function cutWord(word: string, most: number): string[] {
  const found: string[] = [];
  for (let from = 0; from < word.length; from += most) found.push(word.slice(from, from + most));
  return found;
}
