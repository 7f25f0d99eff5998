// By constraint: what the database refuses of webhooks and of what they are sent.

function webhook(values: Partial<Record<'url' | 'kinds' | 'secret' | 'formerSecret' | 'formerUntil', string>>): string {
  const row = {
    ...{
      distributorId: "'d'",
      id: "'w'",
      url: "'https://shop.example/'",
      kinds: "'{ORDER_PLACED}'",
      reads: "'{Order}'",
    },
    ...{ secret: "'whsec_a'", createdAt: 'now()' },
    ...values,
  }
  return insertion('Webhook', row)
}

function delivery(values: Partial<Record<'attempts' | 'endedAt' | 'state', string>>): string {
  const row = {
    ...{ distributorId: "'d'", id: "'w'", webhookId: "'w'", kind: "'TEST'", revision: '1', number: '1', at: 'now()' },
    ...{ entityType: "'Order'", entityId: "'o'", isNew: 'true', nextAt: 'now()' },
    ...values,
  }
  return insertion('WebhookDelivery', row)
}

function insertion(table: string, row: Record<string, string>): string {
  const columns = Object.keys(row).map((column) => `"${column}"`)
  return `INSERT INTO "${table}" (${columns.join(', ')}) VALUES (${Object.values(row).join(', ')})`
}

export const REFUSED_OF_WEBHOOKS: Record<string, string[]> = {
  Webhook_kinds_check: [webhook({ kinds: "'{}'" })],
  Webhook_url_check: [webhook({ url: "'ftp://shop.example/'" })],
  Webhook_secret_check: [
    webhook({ secret: "'the secret itself'" }),
    webhook({ formerSecret: "'the secret itself'", formerUntil: 'now()' }),
  ],
  Webhook_former_check: [webhook({ formerSecret: "'whsec_b'" }), webhook({ formerUntil: 'now()' })],
  WebhookDelivery_attempts_check: [delivery({ attempts: '-1' })],
  WebhookDelivery_ended_check: [delivery({ endedAt: 'now()' }), delivery({ state: "'DEAD'" })],
}
