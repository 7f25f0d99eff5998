// What a test says of a kind of set-up thing.
export interface Kind {
  kind: string
  /** Fields to read back, written as a selection. */
  read: string
  create: Record<string, unknown>
  change: Record<string, unknown>
  /** What reading shows after the creation, and what differs after the change. */
  shown: Record<string, unknown>
  changed: Record<string, unknown>
  retired?: false
}

export const ref = (externalRef: string) => ({ externalRef })
