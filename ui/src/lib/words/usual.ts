/** How people of a country usually write lengths and sums, and what paper they print on, held against CLDR 49 (tests/published/cldr). */
export interface Usual { units: 'metric' | 'feet'; currency: string; paper: string; mark?: '.' | ',' }

/** Codes of ISO 4217 for countries that don't count in euros; every other begins with those, and may be written over. */
const MONEY: Record<string, string> = {
  AE: 'AED', AF: 'AFN', AM: 'AMD', AO: 'AOA', AR: 'ARS', AU: 'AUD', AZ: 'AZN', BA: 'BAM', BD: 'BDT', BF: 'XOF', BI: 'BIF', BJ: 'XOF', BO: 'BOB', BR: 'BRL', BY: 'BYN', CA: 'CAD', CD: 'CDF',
  CF: 'XAF', CG: 'XAF', CH: 'CHF', CI: 'XOF', CL: 'CLP', CM: 'XAF', CN: 'CNY', CO: 'COP', CU: 'CUP', CZ: 'CZK', DJ: 'DJF', DK: 'DKK', DO: 'DOP', DZ: 'DZD', EC: 'USD', EG: 'EGP', ER: 'ERN', ET: 'ETB',
  GA: 'XAF', GB: 'GBP', GE: 'GEL', GH: 'GHS', GN: 'GNF', GT: 'GTQ', HK: 'HKD', HN: 'HNL', HT: 'HTG', HU: 'HUF', ID: 'IDR', IL: 'ILS', IN: 'INR', IQ: 'IQD', IR: 'IRR', IS: 'ISK', JM: 'JMD',
  JO: 'JOD', JP: 'JPY', KE: 'KES', KG: 'KGS', KH: 'KHR', KP: 'KPW', KR: 'KRW', KW: 'KWD', KZ: 'KZT', LA: 'LAK', LB: 'LBP', LK: 'LKR', LR: 'LRD', LY: 'LYD', MA: 'MAD', MD: 'MDL', MG: 'MGA',
  ML: 'XOF', MM: 'MMK', MN: 'MNT', MO: 'MOP', MR: 'MRU', MW: 'MWK', MX: 'MXN', MY: 'MYR', MZ: 'MZN', NE: 'XOF', NG: 'NGN', NI: 'NIO', NO: 'NOK', NP: 'NPR', NZ: 'NZD', OM: 'OMR', PE: 'PEN',
  PH: 'PHP', PK: 'PKR', PL: 'PLN', PY: 'PYG', RO: 'RON', RS: 'RSD', RU: 'RUB', RW: 'RWF', SA: 'SAR', SD: 'SDG', SE: 'SEK', SG: 'SGD', SL: 'SLE', SN: 'XOF', SO: 'SOS', SV: 'USD', SY: 'SYP',
  TD: 'XAF', TG: 'XOF', TH: 'THB', TJ: 'TJS', TM: 'TMT', TN: 'TND', TR: 'TRY', TW: 'TWD', TZ: 'TZS', UA: 'UAH', UG: 'UGX', US: 'USD', UY: 'UYU', UZ: 'UZS', VE: 'VES', VN: 'VND', YE: 'YER',
  ZA: 'ZAR', ZM: 'ZMW', ZW: 'ZWG',
};
/** Where paper of ISO 216 is not the usual one, and where everyday measures are those of the US. */
const LETTER = ['BZ', 'CA', 'CL', 'CO', 'CR', 'GT', 'MX', 'NI', 'PA', 'PH', 'PR', 'SV', 'US', 'VE'];
const FEET = ['LR', 'MM', 'US'];

/** Where a decimal comma is usual, and where a point; elsewhere, or where both are, the browser's own stays. */
const MARKS: [',' | '.', string][] = [
  [',', 'AL AM AO AR AT BA BE BF BG BJ BO BR BY CD CF CG CI CL CO CZ DE DK DZ EC EE ES FI FR GA GE GN GR HR HT HU ID IS IT KG KZ LA LB LT LU LV LY MA MD ME MK ML MR MZ NE NL NO PL PT PY RO RS RU SE SI SK SN TG TJ TM TN TR UA UY UZ VE VN XK ZA'],
  ['.', 'AE AU BD CH CN CU DO EG ER ET GB GH GT HK HN IE IL IN IQ IR JM JO JP KE KH KP KR KW LK LR MM MN MW MX MY NG NI NP NZ OM PE PH PK SA SD SG SL SO SV SY TH TW TZ UG US YE ZM ZW'],
];

export const usual = (country: string): Usual => ({
  units: FEET.includes(country) ? 'feet' : 'metric',
  currency: MONEY[country] ?? 'EUR',
  paper: LETTER.includes(country) ? 'Letter' : 'A4',
  ...markOf(country),
});

function markOf(country: string): { mark?: '.' | ',' } {
  const found = MARKS.find(([, those]) => those.split(' ').includes(country));
  return found ? { mark: found[0] } : {};
}

/** What follows from a country, without what the person has chosen: a town touched later takes none of that back. */
export function following(country: string, chosen: Iterable<keyof Usual>): Partial<Usual> {
  const own = new Set(chosen);
  return Object.fromEntries(Object.entries(usual(country)).filter(([name]) => !own.has(name as keyof Usual)));
}
