/** The shapes that pass between the page and the program. Lengths are metres, bearings degrees clockwise from north. */

export type XY = readonly [number, number];
export type Role =
  | 'wall' | 'way' | 'water' | 'built' | 'grown' | 'bed' | 'lawn' | 'room' | 'datum' | 'note' | 'evidence' | 'held' | 'below' | 'roof' | 'measure' | 'pin';
export type Weight = 'fine' | 'thin' | 'normal' | 'thick';
export type Pattern = 'plain' | 'hatch' | 'cross' | 'dots' | 'waves' | 'boards' | 'bricks' | 'tufts' | 'stones' | 'flags';

export interface PathFigure {
  t: 'path'; points: XY[]; role: Role; owner: string; closed?: boolean; weight?: Weight; dash?: boolean; arrow?: boolean;
}
export interface AreaFigure {
  t: 'area'; rings: XY[][]; role: Role; owner: string; pattern?: Pattern; outline?: boolean; weight?: Weight; shade?: number;
}
export interface TextFigure {
  t: 'text'; at: XY; text: string; role: Role; owner: string;
  size?: 'small' | 'normal' | 'large'; rotate_deg?: number; anchor?: 'start' | 'middle' | 'end';
}
export interface DimensionFigure {
  t: 'dimension'; start: XY; end: XY; value_m: number; text?: string; offset_m?: number; role: Role; owner: string;
}
export type Figure = PathFigure | AreaFigure | TextFigure | DimensionFigure;

export type Json = null | boolean | number | string | Json[] | { [name: string]: Json };
export type Doc = { [name: string]: Json };
export type FeatureDoc = Doc & { id: string; kind: string };
export type Bounds = readonly [number, number, number, number];

export interface Writing { units: 'metric' | 'feet'; decimal_mark: '.' | ','; currency: string; paper: string; currency_sign?: string; minor?: number }
export interface GardenName { name: string; file: string; revision: number; head: string; saved: boolean; demo?: boolean }
export interface RecentFile { name: string; file: string; when: string }
export interface Demo { id: string; name: string; words: string }
export interface State { version: string; garden: GardenName | null; recent: RecentFile[]; demos: Demo[]; style: Writing }
export interface Town { name: string; country: string; label: string; latitude_deg: number; longitude_deg: number }

export interface FieldSpec {
  name: string; words: string; help?: string | null; help_in?: Record<string, string>; unit: string | null;
  type: 'length' | 'number' | 'integer' | 'text' | 'bool' | 'choice' | 'plant' | 'feature' | 'features' | 'month' | 'year_month' | 'point' | 'points' | 'numbers' | 'pairs' | 'list' | 'object' | 'other';
  choices?: [string, string][] | null; default?: Json; min?: number | null; max?: number | null; required?: boolean; basic?: boolean; optional?: boolean;
  /** The fields of each entry of a list, or of the document inside. */
  fields?: FieldSpec[];
  /** The list beside it whose entries are its choices. */
  from?: string | null;
}
/** A part of the garden with a form of its own: what is given once, or a list of named things. */
/** A table that can be brought into a part: what it is read as, words, where what is known is told, how a list begins. */
export interface Takes { what: string; words: string; help: string; told: string | null; begin: string | null }
/** What a table holds, and the edit that takes it in; no edit where nothing can be read. */
export interface TakenIn { said: string[]; head: string[]; rows: string[][]; faults: string[]; edit: Edit | null }
export interface Part { part: string; words: string; many: boolean; fields: FieldSpec[]; takes?: Takes | null; like?: { words: string; value: Doc }[] }
export interface Placement {
  /** The field that says since when a thing stands. */
  since: string | null;
  points: string | null; at: string | null; turn: string | null; turn_is: 'front' | 'along' | null;
  width: string | null; depth: string | null; in_wall: boolean; closes?: string | null;
  /** Whether openings sit in it. */
  holds?: boolean;
  /** Whether it is usually there already, so that one put in stands from the start. */
  there?: boolean;
  /** How many points it needs and takes. */
  least?: number | null; most?: number | null;
}
export interface Kind {
  kind: string; words: string; about: string; group: string; placing: 'line' | 'outline' | 'point' | 'turned';
  place: Placement; fields: FieldSpec[]; example: Doc;
}
export type Pick =
  | 'place' | 'room' | 'spot' | 'feature' | 'opening' | 'walker' | 'length' | 'money' | 'hours' | 'year' | 'choice' | 'number' | 'text' | 'bool' | 'plant';
export interface Blank { field: string; pick: Pick; many?: boolean; optional?: boolean }
/** A kind of must; `fills` is what its sentence says outside the blanks, which a must has to be given to say the same. */
export interface MustKind { kind: string; words: string; sentence: (string | Blank)[]; fields: FieldSpec[]; fills?: Record<string, Json>; begins?: Record<string, Json> }
export interface Walker { id: string; name: string }
export interface PlantName { id: string; name: string; botanical: string; form: string; height_m: number | null; spread_m: number | null; own?: boolean }
/** Plants that answer to some words, what the words were taken for, and where that is known from. */
export interface PlantsFound { plants: PlantName[]; said: string[]; how: string[] }

export interface GardenDoc extends Doc { name: string; features: FeatureDoc[]; jobs: Doc[]; intents: Doc[]; spots: Doc[]; rooms: Doc[] }
export interface GardenReply {
  revision: number; head: string; heads: string[]; garden: GardenDoc; years: number[]; called: Record<string, string>;
  /** The day it is at the garden, by the program's clock. */
  today: string;
  can_undo: string | null; can_redo: string | null; built: string[]; writing: Writing;
}

export interface Handle { id: string; at: XY; words: string; along_deg?: number | null }
export interface SceneFeature {
  /** The outline has a ring for each of its parts: a climber on both sides of an arch has two. None of them is a hole. */
  id: string; kind: string; called: string; handles: Handle[]; outline: XY[][]; built: boolean; stands: boolean;
}
export interface NamedPoint { id: string; name: string; at: XY }
export interface SceneRoom { id: string; name: string; inside: XY; outline: XY[] | null }
export type SnapPoint = readonly [number, number, string, string, string?];
export type SnapEdge = readonly [XY, XY, string];
/** A picture under the sheet: x = a u + b v + c, y = d u + e v + f. */
export interface UnderSheet { picture: string; wide: number; high: number; place: [number, number, number, number, number, number] }
export interface Scene {
  year: number; month: number; date: string; key: string; bounds: Bounds; north_deg: number; boundary: XY[];
  figures: Figure[]; features: SceneFeature[]; spots: NamedPoint[]; rooms: SceneRoom[]; stakes: NamedPoint[];
  ghosts: Figure[]; pins?: NamedPoint[]; pegs?: (NamedPoint & { bearing_deg: number })[]; underlay?: UnderSheet | null; snaps: { points: SnapPoint[]; edges: SnapEdge[] };
}

export type Verdictal = 'holds' | 'fails' | 'unknown' | 'not_due';
/** `waiting`: what the garden said last; what is under way may change it, and is still to be judged. */
export interface VerdictCell { year: number; state: Verdictal; figure: string; because: string; how: string[]; waiting?: boolean }
export interface MustRow {
  id: string; text: string; kind: string; from_year: number | null; muted: boolean; order: number; verdicts: VerdictCell[];
  /** The ids of the features it names. */
  names?: string[];
}
export interface YearMoney { income: number; spent: number; left: number; others?: number; text: Record<string, string> }
export interface YearHours { given: number; upkeep: number; worked: number; spare: number }
export interface YearColumn {
  year: number; figures: Figure[]; bounds: Bounds; money: YearMoney; hours: YearHours;
  harvest: { text: string; lines?: string[] } | null; built: { job: string; name: string; month: string; large: boolean }[];
  planted: { id: string; name: string; month?: string }[]; short: boolean; happened?: string[];
}
export interface Finding {
  id: string; severity: 'danger' | 'fault' | 'care' | 'hint'; words: string; remedy: string; source: string;
  about: string[]; at: XY | null; year: number | null;
}
export interface Table { revision: number; stale: boolean; years: YearColumn[]; musts: MustRow[]; findings: Finding[] }
export interface Evidence { because: string; figures: Figure[]; bounds: Bounds | null; how: string[] }
export interface MonthCell { month: number; jobs: { id: string; name: string; share: number }[]; money: number; hours: { given: number; upkeep: number; worked: number } }

export interface Op { do: 'put' | 'change' | 'remove'; part: string; id?: string; value?: Json; index?: number }
export interface Edit { label: string; ops: Op[] }
export interface EditReply { revision: number; merged: boolean; ids?: string[] }
export interface TouchedVerdicts { id: string; verdicts: VerdictCell[] }
export interface Preview {
  fields: Doc; figures: Figure[]; owners?: string[]; handles?: Handle[]; outline?: XY[][]; verdicts: TouchedVerdicts[]; left?: number;
  /** Points of rooms and spots that stood among what is moved: the edits that take them along, and their names. */
  along?: Op[]; along_words?: string;
}
export interface Shift { dx: number; dy: number; turn_deg: number; about: XY }
export interface HistoryRow { id: number | string; label: string; when: string; here: boolean }
export interface Version { name: string; when: string }
export interface Copy { copy: string; when: string; words?: string }
/** One thing a question is asked with; the page has one field for each way of taking it and knows no question. */
export interface Option { id: string; words: string; at: XY | null }
export interface Input {
  name: string; words: string; takes: 'walker' | 'choice' | 'hour' | 'month' | 'place' | 'feature' | 'number';
  default: string; options: Option[]; unit: string; least: number | null; most: number | null;
  when: { name: string; values: string[] } | null;
}
/** `value`: the program says what is under the pointer; else the page reads it from the field. */
export interface QuestionName { name: string; words: string; asks: string; inputs: Input[]; value: boolean }
export interface LegendRow { words: string; shade?: number; role?: Role; pattern?: Pattern }
export interface Lead { at: XY; words: string; of?: string }
/** Amounts over the ground: a byte a cell, rows from the south, 0 `low`, 250 `high`, 255 nothing; in base64. */
export interface AmountField {
  x0: number; y0: number; step: number; rows: number; columns: number; low: number; high: number; unit: string; digits: number;
  bands: { least: number; words: string; shade: number }[]; cells: string;
}
export type GivenTo = Record<string, string>;
export interface TableBlock { t: 'table'; words: string; head: string[]; rows: string[][]; given: (GivenTo | null)[]; chosen: number | null }
export interface TilesBlock { t: 'tiles'; words: string; columns: string[]; rows: string[]; cells: (number | null)[][]; read: string[]; key: [string, string] }
export interface BarsBlock { t: 'bars'; words: string; rows: [string, number, string][]; limits: [number, string][] }
export type Block = TableBlock | TilesBlock | BarsBlock;
export interface Offer { words: string; edit: Edit | null; given: GivenTo | null }
export interface Answer {
  words: string; given: GivenTo; legend: LegendRow[]; figures: Figure[]; field: AmountField | null; below: Block[]; leads: Lead[]; offers: Offer[];
  how: string[]; rough: string;
}
/** A picture kept with the garden: the pin it hangs on, or the journal's line it came with. */
export interface Picture { id: string; words: string; pin: string | null; entry: string | null; day: string | null; about: string | null }
export interface SheetName { id: string; words: string; about?: string; years?: boolean }
