// From the key that a request shows to the distributor that it speaks for and what it may do.
import { createHash } from 'node:crypto'
import { z } from 'zod'
import { Prisma, type PrismaClient } from '../../database/client.ts'
import { KEPT } from '../../database/kept-statements.ts'
import type { Version } from '../../database/version.ts'
import { Unauthenticated } from '../../errors.ts'
import type { LocalDate } from '../../planner/documents/index.ts'
import { isScope, type Scope } from '../../scopes.ts'

/** What the day of a site goes by. */
export interface SiteClock {
  timeZone: string
  /** Wall-clock time from which nothing more is begun on a day. */
  dayEnds: string
  /** The last day whose end was rolled; null where none was, as of a new site. */
  endedThrough: LocalDate | null
}

/** What questions have to know of a distributor before they look at its records. */
export interface DistributorNow extends Version {
  timeZone: string
  /** Its key for offer tokens. */
  offerKey: string
  /** The clocks of its sites. */
  sites: readonly SiteClock[]
  /** The last day that is over and was rolled. Absent: none. */
  rolledThrough?: LocalDate | undefined
}

/** The owner of a valid key. */
export interface Caller {
  distributorId: string
  keyId: string
  scopes: ReadonlySet<Scope>
  /** Whether mutations with the key must have the header `Idempotency-Key`. */
  requiresIdempotencyKey: boolean
  /** When the key was last used, as far as the records know; null: never. */
  lastUsedAt: Date | null
  /** The distributor as the request found it. */
  found: DistributorNow
}

const rowsShape = z.array(
  z.object({
    distributorId: z.string(),
    keyId: z.string(),
    scopes: z.array(z.string()),
    requiresIdempotencyKey: z.boolean(),
    revokedAt: z.date().nullable(),
    endsAt: z.date().nullable(),
    lastUsedAt: z.date().nullable(),
    revision: z.number(),
    epoch: z.string(),
    timeZone: z.string(),
    offerKey: z.string(),
    sites: z.array(z.object({ timeZone: z.string(), dayEnds: z.string(), endedThrough: z.string().nullable() })),
    rolledThrough: z.string().nullable(),
  }),
)

/** Whether the key `k` of a statement is good, by the database's clock. */
export const IS_GOOD_KEY = Prisma.sql`(k."revokedAt" IS NULL AND (k."expiresAt" IS NULL OR k."expiresAt" > now()))`

/** SHA-256 of a key in hex: what the records keep in its place. Keys are long and random, so that no salt is needed. */
export function hashKey(key: string): string {
  return createHash('sha256').update(key).digest('hex')
}

/**
 * The caller that a key stands for, by its secret or, until that ends, the one before. Throws `Unauthenticated` where the key is
 * not known, was revoked, or is over. One statement, which every request begins with: it brings along what most questions ask next.
 */
export async function authenticate(client: PrismaClient, key: string, now: Date): Promise<Caller> {
  const hash = hashKey(key)
  const rows = await client.$queryRaw`${Prisma.raw(KEPT)}
    SELECT k."distributorId", k."id" AS "keyId", k."scopes", k."requiresIdempotencyKey", k."revokedAt", k."lastUsedAt",
      CASE WHEN k."hash" = ${hash} THEN k."expiresAt" ELSE LEAST(k."expiresAt", k."formerUntil") END AS "endsAt",
      d."revision", d."epoch"::text, d."timeZone", d."offerKey", d."rolledThrough"::text,
      (SELECT COALESCE(jsonb_agg(DISTINCT jsonb_build_object('timeZone', s."timeZone", 'dayEnds', s."dayEnds", 'endedThrough', s."endedThrough"::text)), '[]')
        FROM "Site" s WHERE s."distributorId" = d."id") AS "sites"
    FROM "ApiKey" k JOIN "Distributor" d ON d."id" = k."distributorId"
    WHERE k."hash" = ${hash} OR k."formerHash" = ${hash}`
  const [row] = rowsShape.parse(rows)
  if (!row) throw new Unauthenticated('KEY_UNKNOWN')
  const {
    distributorId,
    keyId,
    scopes,
    revokedAt,
    endsAt,
    lastUsedAt,
    requiresIdempotencyKey,
    rolledThrough,
    ...rest
  } = row
  if (revokedAt) throw new Unauthenticated('KEY_REVOKED')
  if (endsAt && endsAt <= now) throw new Unauthenticated('KEY_EXPIRED')
  const found = { ...rest, rolledThrough: rolledThrough ?? undefined }
  return { distributorId, keyId, lastUsedAt, requiresIdempotencyKey, scopes: new Set(scopes.filter(isScope)), found }
}
