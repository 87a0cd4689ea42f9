// @vitest-environment node
import { expect, it } from 'vitest';
import { percentTexts } from './percent.ts';

it('percents add up to 100 as the shares do, and nothing that is there reads as nothing', () => {
  expect(percentTexts([0.626, 0.358, 0.016])).toEqual(['63 %', '36 %', '1 %']);
  expect(percentTexts([1 / 3, 1 / 3, 1 / 3])).toEqual(['34 %', '33 %', '33 %']);
  expect(percentTexts([0.998, 0.002])).toEqual(['100 %', 'less than 1 %']);
  expect(percentTexts([1])).toEqual(['100 %']);
  expect(percentTexts([0, 0])).toEqual(['0 %', '0 %']);
});
