-- Surface temperature [degC] from the apparent one, emissivity [1] and reflected temperature [degC];
-- total radiation: T^4 = (A^4 - (1 - e) R^4) / e in kelvin. Source: equation of ISO 18434-1.
-- Where emissivity or reflected temperature is missing the apparent temperature stands.
create or replace temp macro true_temperature_degc(apparent_degc, emissivity, reflected_degc) as
    case
        when emissivity is null or reflected_degc is null then apparent_degc
        else pow(
            greatest(
                pow(apparent_degc + 273.15e0, 4)
                - (1e0 - emissivity) * pow(reflected_degc + 273.15e0, 4),
                1e0
            ) / emissivity, 0.25e0
        ) - 273.15e0
    end
