// Comparing what the two languages say: numbers to 1e-9, all else exactly.
import assert from 'node:assert/strict';

/** Equal to 1e-9 of the larger of the wanted size and `scale`. */
export function near(got, wanted, where, scale = 1) {
  const size = Math.max(scale, Math.abs(wanted));
  assert.ok(Math.abs(got - wanted) <= 1e-9 * size, `${where}: ${got} is not ${wanted}`);
}

/** Equal in every place; numbers to 1e-9. */
export function same(got, wanted, where) {
  if (typeof wanted === 'number') near(got, wanted, where);
  else if (wanted !== null && typeof wanted === 'object') {
    assert.deepEqual(Object.keys(got).sort(), Object.keys(wanted).sort(), where);
    for (const key of Object.keys(wanted)) same(got[key], wanted[key], `${where}.${key}`);
  } else assert.equal(got, wanted, where);
}
