"""How names of towns, regions and countries are written, for the rebuild of the towns' table."""

from __future__ import annotations

# Scripts in which other names are kept outside the Latin one, by the country that writes them.
OWN_SCRIPTS = {
    "JP": ("CJK", "HIRAGANA", "KATAKANA"),
    "KR": ("HANGUL",),
    "CN": ("CJK",),
    "TW": ("CJK",),
    "HK": ("CJK",),
    "GR": ("GREEK",),
    "CY": ("GREEK",),
    "RU": ("CYRILLIC",),
    "UA": ("CYRILLIC",),
    "BY": ("CYRILLIC",),
    "BG": ("CYRILLIC",),
    "RS": ("CYRILLIC",),
    "MK": ("CYRILLIC",),
    "IL": ("HEBREW",),
    "GE": ("GEORGIAN",),
    "AM": ("ARMENIAN",),
}

# Letters beside the plain ones by country: of two ways to write a name ("Munchen", "München";
# "Roma", "Róma") the one that is written there. From memory.
OWN_LETTERS = {
    **dict.fromkeys(("DE", "AT", "CH", "LI"), "äöüß"),
    **dict.fromkeys(("SE", "FI"), "åäö"),
    **dict.fromkeys(("NO", "DK", "FO"), "æøå"),
    **dict.fromkeys(("FR", "BE", "LU", "MC"), "àâçéèêëîïôùûüœÿ"),
    **dict.fromkeys(("PT", "BR"), "áâãàçéêíóôõú"),
    **dict.fromkeys(("HR", "SI", "BA", "RS", "ME"), "čćđšž"),
    **dict.fromkeys(("CZ", "SK"), "áäčďéěíĺľňóôřŕšťúůýž"),
    **dict.fromkeys(("ES", "MX", "AR", "CL", "CO", "PE", "CR", "UY"), "áéíñóúü"),
    "HU": "áéíóöőúüű",
    "IS": "áðéíóúýþæö",
    "IT": "àèéìòù",
    "LT": "ąčęėįšųūž",
    "LV": "āčēģīķļņšūž",
    "EE": "äõöüšž",
    "PL": "ąćęłńóśźż",
    "RO": "ăâîșț",
    "TR": "çğıöşü",
}

# Shorter ways to write a region, as post offices and road signs do. From memory, common usage.
SHORT_REGIONS = {
    "CA": {
        "Alberta": "AB", "British Columbia": "BC", "Manitoba": "MB", "New Brunswick": "NB",
        "Newfoundland and Labrador": "NL", "Nova Scotia": "NS", "Nunavut": "NU", "Ontario": "ON",
        "Northwest Territories": "NT", "Prince Edward Island": "PE", "Quebec": "QC",
        "Saskatchewan": "SK", "Yukon": "YT",
    },
    "AU": {
        "New South Wales": "NSW", "Victoria": "VIC", "Queensland": "QLD", "Tasmania": "TAS",
        "South Australia": "SA", "Western Australia": "WA", "Northern Territory": "NT",
        "Australian Capital Territory": "ACT",
    },
}  # fmt: skip

# Regions of today of France, which the older package does not know: codes of its statistical
# office, from memory.
NEW_REGIONS = {
    ("FR", "11"): "Île-de-France",
    ("FR", "24"): "Centre-Val de Loire",
    ("FR", "27"): "Bourgogne-Franche-Comté",
    ("FR", "28"): "Normandy",
    ("FR", "32"): "Hauts-de-France",
    ("FR", "44"): "Grand Est",
    ("FR", "52"): "Pays de la Loire",
    ("FR", "53"): "Brittany",
    ("FR", "75"): "Nouvelle-Aquitaine",
    ("FR", "76"): "Occitanie",
    ("FR", "84"): "Auvergne-Rhône-Alpes",
    ("FR", "93"): "Provence-Alpes-Côte d'Azur",
    ("FR", "94"): "Corsica",
}

# What the package calls otherwise than the stations' table, and regions in their own language.
COUNTRY_NAMES = {"The Netherlands": "Netherlands", "Turkey": "Türkiye"}
MORE_COUNTRY_NAMES = {
    "GB": "UK;Great Britain;Britain",
    "US": "USA;United States of America;America",
    "NL": "Holland;Nederland;The Netherlands",
    "DE": "Deutschland",
    "CH": "Schweiz;Suisse;Svizzera",
    "AT": "Österreich",
    "ES": "España",
    "IT": "Italia",
    "BE": "België;Belgique",
    "DK": "Danmark",
    "SE": "Sverige",
    "NO": "Norge",
    "FI": "Suomi",
    "PL": "Polska",
    "IE": "Éire",
    "CZ": "Czech Republic;Česko",
    "TR": "Turkey",
    "JP": "Nippon;日本",
    "KR": "Korea;Republic of Korea",
    "RU": "Russian Federation",
}
REGION_NAMES = {
    ("DE", "Bavaria"): "Bayern",
    ("DE", "Saxony"): "Sachsen",
    ("DE", "Lower Saxony"): "Niedersachsen",
    ("DE", "Hesse"): "Hessen",
    ("DE", "Thuringia"): "Thüringen",
    ("DE", "Rheinland-Pfalz"): "Rhineland-Palatinate",
    ("DE", "North Rhine-Westphalia"): "Nordrhein-Westfalen;NRW",
    ("IT", "Tuscany"): "Toscana",
    ("FR", "Brittany"): "Bretagne",
    ("FR", "Normandy"): "Normandie",
    ("FR", "Corsica"): "Corse",
}
