/** The page of a year whose season has ended: whether one is due, and the name of the one made beside the garden's file. */
export interface YearPage { year: number | null; made: string; due: boolean; unwanted: boolean }
export const PAGE = '/api/year-page/page';
