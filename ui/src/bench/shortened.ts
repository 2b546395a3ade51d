/** Words that are too long for their place end at a whole word, with a sign that there are more. @param most letters that there is room for */
export function shortened(text: string, most: number): string {
  if (text.length <= most) return text;
  const cut = text.slice(0, most - 1);
  const end = cut.lastIndexOf(' ');
  return `${(end > most / 2 ? cut.slice(0, end) : cut).replace(/[\s;,:–-]+$/, '')}…`;
}
