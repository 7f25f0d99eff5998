// The SQLSTATE of a failed statement, wherever the layers between put it.
import { isDriverAdapterError } from '@prisma/driver-adapter-utils'
import { Prisma } from './client.ts'

/** The five characters by which PostgreSQL says what failed, such as `40001`; '' where there are none. */
export function stateOf(error: unknown): string {
  if (error instanceof Prisma.PrismaClientKnownRequestError) return stateIn(error.meta ?? {})
  if (isDriverAdapterError(error)) return stateIn(error.cause)
  return error instanceof Error && 'code' in error && 'severity' in error ? String(error.code) : ''
}

function stateIn(facts: object): string {
  return /"(?:code|originalCode)":"([0-9A-Z]{5})"/.exec(JSON.stringify(facts))?.[1] ?? ''
}
