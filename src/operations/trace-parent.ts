// The trace that a request belongs to, by W3C Trace Context.

/** Where a span belongs, by W3C Trace Context. */
export interface TraceParent {
  /** 32 hex digits. */
  traceId: string
  /** The span above it: 16 hex digits. */
  parentSpanId: string
}

/**
 * The trace of a request by its header `traceparent` (W3C Trace Context, version 00); undefined where there is none that is well formed, or
 * where the caller does not record it.
 */
export function traceParentOf(header: string | null): TraceParent | undefined {
  const [, traceId = '', parentSpanId = '', flags = ''] =
    /^00-([0-9a-f]{32})-([0-9a-f]{16})-([0-9a-f]{2})$/.exec(header ?? '') ?? []
  if (/^0*$/.test(traceId) || /^0*$/.test(parentSpanId)) return undefined
  return Number.parseInt(flags, 16) % 2 === 1 ? { traceId, parentSpanId } : undefined
}
