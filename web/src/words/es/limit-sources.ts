/** The sources of the published limits (domain/advice, StarterThresholds) in Spanish, by the text they are stored with. */
export const limitSources: ReadonlyMap<string, string> = new Map([
  [
    'New England Greenhouse Update, Poinsettia Biocontrol Update, 16 July 2013: case studies with 5 to 7 % of plants infested or less at the start, all stages counted, were likely to finish below 20 %',
    'New England Greenhouse Update, Poinsettia Biocontrol Update, 16 de julio de 2013: los casos que empezaron con un 5 a 7 % de plantas infestadas o menos, contando todos los estadios, solían acabar por debajo del 20 %',
  ],
  [
    'ONfloriculture (Ontario), 25 September 2018, on the tipping point for whitefly in poinsettia: consultants go on with biological control below 20 % of pots in mid-September; a rule of thumb, no strict cut-off',
    'ONfloriculture (Ontario), 25 de septiembre de 2018, sobre el punto de inflexión de la mosca blanca en flor de Pascua: los asesores siguen con el control biológico por debajo del 20 % de las macetas a mediados de septiembre; una regla práctica, no un corte estricto',
  ],
  [
    'ONfloriculture (Ontario), 2023, in Floral Daily, article 9569199, on late production and the whitefly tipping point: the week to change the programme above 20 %, from at least 100 plants or 5 % of the crop',
    'ONfloriculture (Ontario), 2023, en Floral Daily, artículo 9569199, sobre la producción tardía y el punto de inflexión de la mosca blanca: la semana de cambiar el programa por encima del 20 %, con al menos 100 plantas o el 5 % del cultivo',
  ],
  [
    'ONfloriculture (Ontario), 16 November 2018, review of the 2018 poinsettia season: below 15 % in mid-October counted as a success in compartments of about 10,000 plants',
    'ONfloriculture (Ontario), 16 de noviembre de 2018, repaso de la temporada de flor de Pascua de 2018: menos del 15 % a mediados de octubre se tuvo por un éxito en compartimentos de unas 10 000 plantas',
  ],
  [
    'New England Greenhouse Update, Poinsettia Biocontrol Update, 16 July 2013: above 20 % before shipping the crop may need cleaning up',
    'New England Greenhouse Update, Poinsettia Biocontrol Update, 16 de julio de 2013: por encima del 20 % antes del envío puede hacer falta sanear el cultivo',
  ],
]);
