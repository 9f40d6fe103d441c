/** The way to a thing or a view: what is seen, the jobs and orders behind it, what waits for each. */
export interface TowardsThing { id: string; how: 'there' | 'comes' | 'later' | 'unplanned' | 'gone'; job: string; words: string }
export interface TowardsStep {
  job: string; name: string; when: string; state: string; because: string; hours: string; money: string; orders: string[]; also: string[];
}
export interface Towards { revision: number; on: string; day: string; words: string[]; things: TowardsThing[]; way: TowardsStep[]; done: string[] }
