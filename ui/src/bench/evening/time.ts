/** A time of day by the reader's clock: `9:30 PM`, `21:30`. @param at `21:30` */
export function clockInWords(at: string): string {
  const [hours = 0, minutes = 0] = at.split(':').map(Number);
  return new Date(2000, 0, 1, hours, minutes).toLocaleTimeString([], { timeStyle: 'short' });
}
