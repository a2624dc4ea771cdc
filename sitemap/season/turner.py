"""How well the air mixes in an hour, from sun, cloud and wind: Turner's method, classes A, very well, to F, hardly."""

from __future__ import annotations

from sitemap.errors import not_negative, within

_KNOT = 1852 / 3600  # [m/s] by definition
# Rows: wind below so many whole knots; columns: net radiation index 4, 3, 2, 1, 0, −1, −2. G is taken as F.
_ROWS = (
    (2, "AABCDFF"),
    (4, "ABBCDFF"),
    (6, "ABCDDEF"),
    (7, "BBCDDEF"),
    (8, "BBCDDDE"),
    (10, "BCCDDDE"),
    (11, "CCDDDDE"),
    (12, "CCDDDDD"),
    (None, "CDDDDDD"),
)
_STRONG, _MODERATE, _SLIGHT = 60.0, 35.0, 15.0  # [deg] height of the sun above which it is strong, moderate, slight
_CLOUDY, _NIGHT_CLOUDY, _OVERCAST = 50.0, 40.0, 95.0  # [%] of the sky


def net_radiation_index(sun_deg: float, cloud_pct: float | None, night: bool) -> int:
    """How much the ground is warmed or cooled, from 4, strong sun, to −2, a clear night.

    Parameters
    ----------
    sun_deg : height of the sun, scalar [deg], −90 to 90
    cloud_pct : share of the sky covered, scalar [%], 0 to 100; None where it is not known
    night : whether it is between an hour before sunset and an hour after sunrise

    Returns
    -------
    index [count]

    Raises
    ------
    BadValue : outside those limits

    Notes
    -----
    How high the clouds are is not asked: by day they are taken as low, by night as high, which mixes least. What is not
    known of the sky is taken so too: overcast by day, clear by night.

    References
    ----------
    US EPA, Meteorological Monitoring Guidance for Regulatory Modeling Applications, EPA-454/R-99-005, section 6.4.1,
    table 6-6 (P); heights of the sun of table 6-5 from memory (M).

    >>> net_radiation_index(65, 20, False), net_radiation_index(40, 80, False), net_radiation_index(-5, None, True)
    (4, 1, -2)
    """
    within("The height of the sun", sun_deg, -90, 90, "°")
    if cloud_pct is not None:
        within("The share of cloud", cloud_pct, 0, 100, "%")
    if night:
        return -1 if cloud_pct is not None and cloud_pct > _NIGHT_CLOUDY else -2
    if cloud_pct is None or cloud_pct >= _OVERCAST:
        return 0
    sun = 1 + sum(sun_deg > step for step in (_SLIGHT, _MODERATE, _STRONG))
    return sun if cloud_pct <= _CLOUDY else max(sun - 2, 1)


def mixing(wind_m_s: float, index: int) -> str:
    """Class of the air, A to F.

    Parameters
    ----------
    wind_m_s : at 10 m, scalar [m/s], 0 or more
    index : `net_radiation_index`, −2 to 4 [count]

    Returns
    -------
    class of stability

    Raises
    ------
    BadValue : outside those limits

    References
    ----------
    Turner 1964, J. Appl. Meteorol. 3:83–91, as in EPA-454/R-99-005, table 6-4 (S); its seventh class with the sixth.

    >>> mixing(1.0, -2), mixing(2.5, 3), mixing(8.0, 4)
    ('F', 'B', 'C')
    """
    knots = round(float(not_negative("The wind", wind_m_s, "m/s")) / _KNOT)
    within("The net radiation index", index, -2, 4)
    row = next(letters for below, letters in _ROWS if below is None or knots < below)
    return row[4 - index]
