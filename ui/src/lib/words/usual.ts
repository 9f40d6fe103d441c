/** How people of a country usually write lengths and sums, and what paper they print on; common practice, no source. */
export interface Usual { units: 'metric' | 'feet'; currency: string; paper: string; mark?: '.' | ',' }

/** Codes of ISO 4217 (from memory) for countries that don't count in euros; every other begins with those, and may be written over. */
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
/** Where paper of ISO 216 is not the usual one; common practice, no source. */
const LETTER = ['CA', 'CL', 'CO', 'MX', 'PH', 'US'];

/** Where a decimal comma is usual, and where a point (from memory); elsewhere, or where both are, the browser's own stays. */
const MARKS: [',' | '.', string][] = [
  [',', 'AL AR AT BA BE BG BO BR BY CL CO CZ DE DK EC EE ES FI FR GR HR HU ID IS IT KZ LT LU LV MD ME MK NL NO PL PT PY RO RS RU SE SI SK TR UA UY VE VN XK'],
  ['.', 'AU CH CN GB GH HK IE IL IN JP KE KR MX MY NG NZ PH SG TH TW US'],
];

export const usual = (country: string): Usual => ({
  units: country === 'US' ? 'feet' : 'metric',
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
