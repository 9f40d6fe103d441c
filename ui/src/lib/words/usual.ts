/** How people of a country usually write lengths and sums, and what paper they print on; common practice, no source. */
export interface Usual { units: 'metric' | 'feet'; currency: string; paper: string }

/** Codes of ISO 4217 for the countries that don't count in euros; every other begins with those. */
const MONEY: Record<string, string> = { AU: 'AUD', CA: 'CAD', CH: 'CHF', CZ: 'CZK', DK: 'DKK', GB: 'GBP', HU: 'HUF', JP: 'JPY', MX: 'MXN', NO: 'NOK', NZ: 'NZD', PL: 'PLN', RO: 'RON', SE: 'SEK', US: 'USD', ZA: 'ZAR' };
/** Where paper of ISO 216 is not the usual one. */
const LETTER = ['CA', 'MX', 'US'];

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
