import { expect, test } from 'vitest';
import { USUAL, viewsAddress } from './both';

test('pictures are asked for by place and moment, without a query where none is needed', () => {
  const noon = { day: '06-21', hour: '12:00' };
  expect(viewsAddress('the-hedge', USUAL)).toBe('/api/outdoors/views/the-hedge');
  expect(viewsAddress('the-hedge', USUAL, '3.50,12.00', 4)).toBe('/api/outdoors/views/the-hedge/3.50,12.00?at=4');
  expect(viewsAddress('the-hedge', noon)).toBe('/api/outdoors/views/the-hedge/best/06-21-12-00');
  expect(viewsAddress('the-hedge', noon, '3.50,12.00')).toBe('/api/outdoors/views/the-hedge/3.50,12.00/06-21-12-00');
});
