// Global ids: opaque to callers, unique over all kinds of things. They hold the kind and the row's id within its distributor.
import { z } from 'zod'

/** The shape of an input that is one. */
export const globalId = z.string().min(1).max(500)

/** The global id of a thing of `kind`, such as `Vessel`. */
export function encodeGlobalId(kind: string, id: string): string {
  return Buffer.from(`${kind}:${id}`).toString('base64url')
}

/** The kind and the row's id that a global id names; undefined where the text is none. */
export function decodeGlobalId(text: string): { kind: string; id: string } | undefined {
  const decoded = Buffer.from(text, 'base64url').toString('utf8')
  const colon = decoded.indexOf(':')
  if (colon < 1 || decoded.includes('\u0000')) return undefined
  const kind = decoded.slice(0, colon)
  const id = decoded.slice(colon + 1)
  return encodeGlobalId(kind, id) === text ? { kind, id } : undefined
}

/** The id of the row that a global id of this kind names; undefined where the text is no such id. */
export function rowIdIn(kind: string, text: string): string | undefined {
  const decoded = decodeGlobalId(text)
  return decoded?.kind === kind ? decoded.id : undefined
}
