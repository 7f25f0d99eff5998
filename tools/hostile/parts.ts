// What the processes of an attack say to each other.
import { z } from 'zod'

/** Where the server answers, and a key for each part that is played. */
export const partsShape = z.object({
  address: z.string(),
  keys: z.object({
    polite: z.string(),
    greedy: z.string(),
    own: z.string(),
    unscoped: z.string(),
    others: z.string(),
  }),
})

export type Parts = z.infer<typeof partsShape>

/** Bytes that a process uses, after its garbage was collected. */
export const memoryShape = z.object({ heapUsed: z.number(), external: z.number(), arrayBuffers: z.number() })

/** What the attacker works by. */
export const attackShape = z.object({
  parts: partsShape,
  ids: z.array(z.string()),
  seed: z.int(),
  /** It ends after so many requests, and not before so many seconds where they are given. */
  requests: z.int(),
  seconds: z.number(),
  /** Requests at a time. */
  together: z.int(),
})

export type Attack = z.infer<typeof attackShape>

/** What it found. */
export const foundShape = z.object({
  sent: z.int(),
  /** Answers by status, or by the error of the connection. */
  answers: z.record(z.string(), z.int()),
  /** Requests that the server must answer otherwise, with what it answered. */
  failures: z.array(z.object({ number: z.int(), kind: z.string(), why: z.string(), request: z.string() })),
})

export type Found = z.infer<typeof foundShape>
