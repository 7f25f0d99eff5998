// Every mutation waits in the line of its distributor's writers, whatever it writes.
import SchemaBuilder, { BasePlugin, type PothosOutputFieldConfig, type SchemaTypes } from '@pothos/core'
import type { GraphQLFieldResolver } from 'graphql'
import { Context } from './context.ts'

const PLUGIN = 'writersInLine'
/** The plugin's name, for the builder's list. */
export default PLUGIN

class WritersInLinePlugin<Types extends SchemaTypes> extends BasePlugin<Types> {
  override wrapResolve(
    resolver: GraphQLFieldResolver<unknown, Types['Context'], object>,
    { kind }: PothosOutputFieldConfig<Types>,
  ): GraphQLFieldResolver<unknown, Types['Context'], object> {
    if (kind !== 'Mutation') return resolver
    return (parent, args, context, info) => writing(context, () => resolver(parent, args, context, info))
  }
}

/** Throws `Busy`. */
function writing(context: object, write: () => unknown): unknown {
  if (!(context instanceof Context)) throw new Error('something is written without a context')
  const writes = context.services.writers.run(context.distributorId, write)
  return context.once?.watch(writes) ?? writes
}

declare global {
  export namespace PothosSchemaTypes {
    export interface Plugins<Types extends SchemaTypes> {
      writersInLine: WritersInLinePlugin<Types>
    }
  }
}

SchemaBuilder.registerPlugin(PLUGIN, WritersInLinePlugin)
