/** When a picture was taken, by the file it came in: the day and the hour where one is, by this device's clock. */
export interface Taken { day: string; hour: number }

export function takenAt(lastModified: number): Taken {
  const at = new Date(lastModified);
  const two = (n: number): string => String(n).padStart(2, '0');
  return { day: `${at.getFullYear()}-${two(at.getMonth() + 1)}-${two(at.getDate())}`, hour: Math.round((at.getHours() + at.getMinutes() / 60) * 100) / 100 };
}
