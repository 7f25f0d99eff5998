// The elements of UBL 2.4 documents that are sent and taken here: in which order they stand and how often. Written down from the
// published schemas of OASIS (UBL 2.4 CSD02 of 26 July 2023: xsdrt/maindoc/UBL-Order-2.4.xsd and UBL-DespatchAdvice-2.4.xsd,
// xsdrt/common/UBL-CommonAggregateComponents-2.4.xsd), type by type, with the elements that are not used here as well.

/** `?` at most once, `*` any number, `+` at least once, nothing: just once. */
const TYPES: Readonly<Record<string, string>> = {
  Order: `ext:UBLExtensions? cbc:UBLVersionID? cbc:CustomizationID? cbc:ProfileID? cbc:ProfileExecutionID? cbc:ID cbc:SalesOrderID?
    cbc:CopyIndicator? cbc:UUID? cbc:IssueDate cbc:IssueTime? cbc:OrderTypeCode? cbc:Note* cbc:RequestedInvoiceCurrencyCode?
    cbc:DocumentCurrencyCode? cbc:PricingCurrencyCode? cbc:TaxCurrencyCode? cbc:CustomerReference? cbc:AccountingCostCode?
    cbc:AccountingCost? cbc:LineCountNumeric? cac:ValidityPeriod* cac:QuotationDocumentReference? cac:OrderDocumentReference*
    cac:OriginatorDocumentReference? cac:CatalogueReference? cac:AdditionalDocumentReference* cac:Contract* cac:ProjectReference*
    cac:Signature* cac:BuyerCustomerParty cac:SellerSupplierParty cac:OriginatorCustomerParty? cac:FreightForwarderParty?
    cac:AccountingCustomerParty? cac:Delivery* cac:DeliveryTerms* cac:PaymentMeans* cac:PaymentTerms* cac:TransactionConditions?
    cac:AllowanceCharge* cac:TaxExchangeRate? cac:PricingExchangeRate? cac:PaymentExchangeRate? cac:DestinationCountry? cac:TaxTotal*
    cac:AnticipatedMonetaryTotal? cac:OrderLine+`,
  DespatchAdvice: `ext:UBLExtensions? cbc:UBLVersionID? cbc:CustomizationID? cbc:ProfileID? cbc:ProfileExecutionID? cbc:ID
    cbc:CopyIndicator? cbc:UUID? cbc:IssueDate cbc:IssueTime? cbc:DocumentStatusCode? cbc:DespatchAdviceTypeCode? cbc:Note*
    cbc:AccountingCostCode? cbc:AccountingCost? cbc:LineCountNumeric? cac:OrderReference* cac:ProjectReference*
    cac:AdditionalDocumentReference* cac:Signature* cac:DespatchSupplierParty cac:DeliveryCustomerParty cac:BuyerCustomerParty?
    cac:SellerSupplierParty? cac:OriginatorCustomerParty? cac:Shipment? cac:DespatchLine+`,
  CustomerParty: `ext:UBLExtensions? cbc:CustomerAssignedAccountID? cbc:SupplierAssignedAccountID? cbc:AdditionalAccountID* cac:Party?
    cac:DeliveryContact? cac:AccountingContact? cac:BuyerContact?`,
  SupplierParty: `ext:UBLExtensions? cbc:CustomerAssignedAccountID? cbc:AdditionalAccountID* cbc:DataSendingCapability? cac:Party?
    cac:DespatchContact? cac:AccountingContact? cac:SellerContact?`,
  Party: `ext:UBLExtensions? cbc:MarkCareIndicator? cbc:MarkAttentionIndicator? cbc:WebsiteURI? cbc:LogoReferenceID? cbc:EndpointID?
    cbc:IndustryClassificationCode? cac:PartyIdentification* cac:PartyName* cac:Language? cac:PostalAddress? cac:PhysicalLocation?
    cac:PartyTaxScheme* cac:PartyLegalEntity* cac:Contact? cac:Person* cac:AgentParty? cac:ServiceProviderParty* cac:PowerOfAttorney*
    cac:PartyAuthorization* cac:FinancialAccount? cac:AdditionalWebSite* cac:SocialMediaProfile*`,
  PartyIdentification: 'ext:UBLExtensions? cbc:ID',
  PartyName: 'ext:UBLExtensions? cbc:Name',
  Delivery: `ext:UBLExtensions? cbc:ID? cbc:Quantity? cbc:MinimumQuantity? cbc:MaximumQuantity? cbc:ActualDeliveryDate?
    cbc:ActualDeliveryTime? cbc:LatestDeliveryDate? cbc:LatestDeliveryTime? cbc:ReleaseID? cbc:TrackingID? cac:DeliveryAddress?
    cac:DeliveryLocation? cac:AlternativeDeliveryLocation? cac:RequestedDeliveryPeriod? cac:PromisedDeliveryPeriod?
    cac:EstimatedDeliveryPeriod? cac:CarrierParty? cac:DeliveryParty? cac:NotifyParty* cac:Despatch? cac:DeliveryTerms*
    cac:MinimumDeliveryUnit? cac:MaximumDeliveryUnit? cac:Shipment? cac:FuelConsumption*`,
  Period: `ext:UBLExtensions? cbc:StartDate? cbc:StartTime? cbc:EndDate? cbc:EndTime? cbc:DurationMeasure? cbc:DescriptionCode*
    cbc:Description*`,
  Location: `ext:UBLExtensions? cbc:ID? cbc:Description* cbc:Conditions* cbc:CountrySubentity? cbc:CountrySubentityCode?
    cbc:LocationTypeCode? cbc:InformationURI? cbc:Name? cac:ValidityPeriod* cac:Address? cac:Storage? cac:SubsidiaryLocation*
    cac:LocationCoordinate*`,
  OrderLine: `ext:UBLExtensions? cbc:SubstitutionStatusCode? cbc:Note* cac:LineItem cac:SellerProposedSubstituteLineItem*
    cac:SellerSubstitutedLineItem* cac:BuyerProposedSubstituteLineItem* cac:CatalogueLineReference? cac:QuotationLineReference?
    cac:OrderLineReference* cac:DocumentReference*`,
  LineItem: `ext:UBLExtensions? cbc:ID cbc:SalesOrderID? cbc:UUID? cbc:Note* cbc:LineStatusCode? cbc:Quantity? cbc:LineExtensionAmount?
    cbc:TaxInclusiveLineExtensionAmount? cbc:TotalTaxAmount? cbc:MinimumQuantity? cbc:MaximumQuantity? cbc:MinimumBackorderQuantity?
    cbc:MaximumBackorderQuantity? cbc:InspectionMethodCode? cbc:PartialDeliveryIndicator? cbc:BackOrderAllowedIndicator?
    cbc:AccountingCostCode? cbc:AccountingCost? cbc:WarrantyInformation* cac:Delivery* cac:DeliveryTerms? cac:OriginatorParty?
    cac:OrderedShipment* cac:PricingReference? cac:AllowanceCharge* cac:Price? cac:Item cac:SubLineItem* cac:WarrantyValidityPeriod?
    cac:WarrantyParty? cac:TaxTotal* cac:ItemPriceExtension? cac:LineReference*`,
  Price: `ext:UBLExtensions? cbc:PriceAmount cbc:TaxInclusivePriceAmount? cbc:BaseQuantity? cbc:PriceChangeReason* cbc:PriceTypeCode?
    cbc:PriceType? cbc:OrderableUnitFactorRate? cac:ValidityPeriod* cac:PriceList? cac:AllowanceCharge* cac:PricingExchangeRate?
    cac:AlternativeCurrencyPrice*`,
  Item: `ext:UBLExtensions? cbc:Description* cbc:PackQuantity? cbc:PackSizeNumeric? cbc:CatalogueIndicator? cbc:Name? cbc:ItemTypeCode?
    cbc:HazardousRiskIndicator? cbc:AdditionalInformation* cbc:Keyword* cbc:BrandName* cbc:ModelName* cbc:WarrantyInformation*
    cac:BuyersItemIdentification? cac:SellersItemIdentification? cac:ManufacturersItemIdentification* cac:StandardItemIdentification?
    cac:CatalogueItemIdentification? cac:AdditionalItemIdentification* cac:CatalogueDocumentReference?
    cac:ItemSpecificationDocumentReference* cac:OriginCountry? cac:CommodityClassification* cac:TransactionConditions*
    cac:HazardousItem* cac:ClassifiedTaxCategory* cac:AdditionalItemProperty* cac:ManufacturerParty*
    cac:InformationContentProviderParty? cac:OriginAddress* cac:ItemInstance* cac:Certificate* cac:Dimension*
    cac:EnvironmentalEmission*`,
  ItemIdentification: `ext:UBLExtensions? cbc:ID cbc:ExtendedID? cbc:BarcodeSymbologyID? cbc:IssuerScopeID? cac:PhysicalAttribute*
    cac:MeasurementDimension* cac:IssuerParty?`,
  ItemProperty: `ext:UBLExtensions? cbc:ID? cbc:Name cbc:NameCode? cbc:TestMethod? cbc:Value? cbc:ValueQuantity? cbc:ValueQualifier*
    cbc:ImportanceCode? cbc:ListValue* cac:UsabilityPeriod? cac:ItemPropertyGroup* cac:RangeDimension? cac:ItemPropertyRange?
    cac:StandardPropertyIdentification? cac:SubItemProperty*`,
  ItemInstance: `ext:UBLExtensions? cbc:ProductTraceID? cbc:ManufactureDate? cbc:ManufactureTime? cbc:BestBeforeDate?
    cbc:RegistrationID? cbc:SerialID? cac:AdditionalItemProperty* cac:LotIdentification?`,
  LotIdentification: 'ext:UBLExtensions? cbc:LotNumberID? cbc:ExpiryDate? cac:AdditionalItemProperty*',
  OrderLineReference: `ext:UBLExtensions? cbc:LineID cbc:SalesOrderLineID? cbc:UUID? cbc:LineStatusCode? cac:OrderReference?`,
  OrderReference: `ext:UBLExtensions? cbc:ID cbc:SalesOrderID? cbc:CopyIndicator? cbc:UUID? cbc:IssueDate? cbc:IssueTime?
    cbc:CustomerReference? cbc:OrderTypeCode? cac:DocumentReference?`,
  DespatchLine: `ext:UBLExtensions? cbc:ID cbc:UUID? cbc:Note* cbc:LineStatusCode? cbc:DeliveredQuantity? cbc:BackorderQuantity?
    cbc:BackorderReason* cbc:OutstandingQuantity? cbc:OutstandingReason* cbc:OversupplyQuantity? cbc:AccountingCostCode?
    cbc:AccountingCost? cac:OrderLineReference+ cac:DocumentReference* cac:Item cac:Shipment* cac:SubDespatchLine*`,
  Despatch: `ext:UBLExtensions? cbc:ID? cbc:RequestedDespatchDate? cbc:RequestedDespatchTime? cbc:EstimatedDespatchDate?
    cbc:EstimatedDespatchTime? cbc:ActualDespatchDate? cbc:ActualDespatchTime? cbc:GuaranteedDespatchDate? cbc:GuaranteedDespatchTime?
    cbc:ReleaseID? cbc:Instructions* cac:DespatchAddress? cac:DespatchLocation? cac:DespatchParty? cac:CarrierParty? cac:NotifyParty*
    cac:ResponsibleParty? cac:Contact? cac:EstimatedDespatchPeriod? cac:RequestedDespatchPeriod?`,
  Shipment: `ext:UBLExtensions? cbc:ID? cbc:ShippingPriorityLevelCode? cbc:HandlingCode? cbc:HandlingInstructions* cbc:Information*
    cbc:GrossWeightMeasure? cbc:NetWeightMeasure? cbc:NetNetWeightMeasure? cbc:GrossVolumeMeasure? cbc:NetVolumeMeasure?
    cbc:TotalGoodsItemQuantity? cbc:TotalTransportHandlingUnitQuantity? cbc:InsuranceValueAmount? cbc:DeclaredCustomsValueAmount?
    cbc:DeclaredForCarriageValueAmount? cbc:DeclaredStatisticsValueAmount? cbc:FreeOnBoardValueAmount? cbc:SpecialInstructions*
    cbc:DeliveryInstructions* cbc:SplitConsignmentIndicator? cbc:ConsignmentQuantity? cac:Consignment* cac:GoodsItem*
    cac:ShipmentStage* cac:Delivery? cac:TransportHandlingUnit* cac:ReturnAddress? cac:OriginAddress? cac:FirstArrivalPortLocation?
    cac:LastExitPortLocation? cac:ExportCountry? cac:FreightAllowanceCharge*`,
}

/** The types of elements that have another name than their type. */
const TYPE_OF: Readonly<Record<string, string>> = {
  BuyerCustomerParty: 'CustomerParty',
  DeliveryCustomerParty: 'CustomerParty',
  SellerSupplierParty: 'SupplierParty',
  DespatchSupplierParty: 'SupplierParty',
  RequestedDeliveryPeriod: 'Period',
  DeliveryLocation: 'Location',
  DespatchLocation: 'Location',
  SellersItemIdentification: 'ItemIdentification',
  AdditionalItemProperty: 'ItemProperty',
}

/** An element that may stand in another: at least and at most so often. */
export interface Place {
  name: string
  least: number
  most: number
}

/** What an element holds, in order; undefined where it is not written down. */
export function partsOf(element: string): Place[] | undefined {
  return TYPES[TYPE_OF[element] ?? element]?.split(/\s+/).map((part) => ({
    name: part.replace(/[?*+]$/, ''),
    least: part.endsWith('?') || part.endsWith('*') ? 0 : 1,
    most: part.endsWith('*') || part.endsWith('+') ? Number.POSITIVE_INFINITY : 1,
  }))
}
