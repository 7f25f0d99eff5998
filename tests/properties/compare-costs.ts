// Two costs are the same within the tolerance of the planning rules: 0.01 and a millionth of the cost.
import { expect } from 'vitest'

export function compareCosts(found: number, wanted: number): void {
  expect(Math.abs(found - wanted)).toBeLessThanOrEqual(0.01 + 1e-6 * Math.abs(wanted))
}
