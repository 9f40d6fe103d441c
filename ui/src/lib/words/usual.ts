/** How people of a country usually write lengths and sums, and what paper they print on; common practice, no source. */
export interface Usual { units: 'metric' | 'feet'; currency: string; paper: string }

/** Codes of ISO 4217 (from memory) for countries that don't count in euros; every other begins with those, and may be written over. */
const MONEY: Record<string, string> = {
  AE: 'AED', AR: 'ARS', AU: 'AUD', BD: 'BDT', BR: 'BRL', CA: 'CAD', CH: 'CHF', CL: 'CLP', CN: 'CNY', CO: 'COP', CZ: 'CZK', DK: 'DKK', EG: 'EGP', GB: 'GBP', HK: 'HKD', HU: 'HUF', ID: 'IDR', IL: 'ILS',
  IN: 'INR', IS: 'ISK', JP: 'JPY', KE: 'KES', KR: 'KRW', MA: 'MAD', MX: 'MXN', MY: 'MYR', NG: 'NGN', NO: 'NOK', NZ: 'NZD', PE: 'PEN', PH: 'PHP', PK: 'PKR', PL: 'PLN', RO: 'RON', RS: 'RSD', SA: 'SAR', SE: 'SEK',
  SG: 'SGD', TH: 'THB', TR: 'TRY', TW: 'TWD', UA: 'UAH', US: 'USD', UY: 'UYU', VN: 'VND', ZA: 'ZAR',
};
/** Where paper of ISO 216 is not the usual one; common practice, no source. */
const LETTER = ['CA', 'CL', 'CO', 'MX', 'PH', 'US'];

export const usual = (country: string): Usual => ({
  units: country === 'US' ? 'feet' : 'metric',
  currency: MONEY[country] ?? 'EUR',
  paper: LETTER.includes(country) ? 'Letter' : 'A4',
});

/** What follows from a country, without what the person has chosen: a town touched later takes none of that back. */
export function following(country: string, chosen: Iterable<keyof Usual>): Partial<Usual> {
  const own = new Set(chosen);
  return Object.fromEntries(Object.entries(usual(country)).filter(([name]) => !own.has(name as keyof Usual)));
}
