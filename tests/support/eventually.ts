// Waits for what happens soon by itself, and for long where the machine is busy.
import { vi } from 'vitest'

/** Resolves once `holds` throws no longer; rejects with its last error after half a minute. */
export function eventually(holds: () => unknown): Promise<unknown> {
  return vi.waitFor(holds, { timeout: 30_000, interval: 20 })
}
