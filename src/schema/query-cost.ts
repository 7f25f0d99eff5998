// What a whole query costs before it runs, for the quota of its key.
import { complexityFromQuery } from '@pothos/plugin-complexity'
import { type ExecutionArgs, getOperationAST, Kind } from 'graphql'
import type { Context } from './context.ts'

/**
 * What the operation that is asked for costs, in whole values; at least 1. One that will be refused before anything is looked up costs 1:
 * because of what it costs, or because of its variables.
 */
export function costOfQuery(context: Context, args: ExecutionArgs): number {
  const { schema, document, operationName, variableValues } = args
  const operation = getOperationAST(document, operationName)
  if (!operation) return 1
  const fragments = document.definitions.filter(({ kind }) => kind === Kind.FRAGMENT_DEFINITION)
  const asked = { ...document, definitions: [operation, ...fragments] }
  try {
    const { complexity } = complexityFromQuery(asked, { schema, ctx: context, variables: { ...variableValues } })
    return complexity > context.queryCost ? 1 : Math.max(1, Math.ceil(complexity))
  } catch {
    // The execution finds the same fault, and says it.
    return 1
  }
}
