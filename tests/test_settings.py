from pathlib import Path

import pytest

from wortwright.settings import Settings, SettingsError

PEPPER = "0123456789abcdef0123456789abcdef"


def test_settings_are_read_from_the_environment() -> None:
    settings = Settings.from_environment(
        {
            "WORTWRIGHT_PEPPER": PEPPER,
            "WORTWRIGHT_DATABASE_URL": "postgresql://brewer@db/wortwright",
            "WORTWRIGHT_MAX_BODY_BYTES": "1024",
            "WORTWRIGHT_ALLOWED_ORIGINS": "https://a.example, https://b.example:8443",
            "WORTWRIGHT_METRICS_FROM": "10.0.0.0/8,fd00::/8",
            "WORTWRIGHT_TRUSTED_PROXIES": "1",
        }
    )
    assert settings.database_url == "postgresql://brewer@db/wortwright"
    assert settings.max_body_bytes == 1024
    assert settings.allowed_origins == ("https://a.example", "https://b.example:8443")
    assert [str(network) for network in settings.metrics_from] == ["10.0.0.0/8", "fd00::/8"]
    assert settings.trusted_proxies == 1


def test_what_is_not_set_is_as_documented() -> None:
    settings = Settings.from_environment({"WORTWRIGHT_PEPPER": PEPPER, "WORTWRIGHT_LOG_LEVEL": ""})
    assert settings == Settings(pepper=PEPPER)
    assert settings.max_body_bytes == 262_144
    assert settings.allowed_origins == ()


@pytest.mark.parametrize(
    ("name", "value"),
    [
        ("MAX_BODY_BYTES", "256 KiB"),
        ("METRICS_FROM", "everywhere"),
        ("ALLOWED_ORIGINS", "*"),
        ("ALLOWED_ORIGINS", "https://club.example/page"),
        ("ALLOWED_ORIGINS", "club.example"),
        ("PEPPER", "short"),
        ("OLDER_PEPPERS", f"{PEPPER},short"),
        ("RATE_LIMIT", "often"),
        ("LOG_LEVEL", "loud"),
    ],
)
def test_unfit_setting_is_refused_by_its_name(name: str, value: str) -> None:
    environ = {"WORTWRIGHT_PEPPER": PEPPER, f"WORTWRIGHT_{name}": value}
    with pytest.raises(SettingsError, match=f"WORTWRIGHT_{name}"):
        Settings.from_environment(environ)


def test_pepper_may_be_in_a_file(tmp_path: Path) -> None:
    file = tmp_path / "pepper"
    file.write_text(PEPPER + "\n")
    settings = Settings.from_environment({"WORTWRIGHT_PEPPER_FILE": str(file)})
    assert settings.pepper == PEPPER


def test_older_peppers_are_told_apart_from_the_present_one(tmp_path: Path) -> None:
    older = "f" * 32, "e" * 32
    told = {"WORTWRIGHT_PEPPER": PEPPER, "WORTWRIGHT_OLDER_PEPPERS": ", ".join(older)}
    file = tmp_path / "pepper"
    file.write_text("\n".join([PEPPER, older[0], "", ""]))
    in_file = {"WORTWRIGHT_PEPPER_FILE": str(file), "WORTWRIGHT_OLDER_PEPPERS": older[1]}
    for environ in (told, in_file):
        settings = Settings.from_environment(environ)
        assert settings.pepper == PEPPER
        assert settings.peppers == (PEPPER, *older)
        assert not any(one in repr(settings) for one in settings.peppers)


def test_a_file_without_a_pepper_is_refused(tmp_path: Path) -> None:
    (tmp_path / "pepper").write_text("\n")
    with pytest.raises(SettingsError, match="WORTWRIGHT_PEPPER"):
        Settings.from_environment({"WORTWRIGHT_PEPPER_FILE": str(tmp_path / "pepper")})


def test_pepper_is_made_once_beside_a_database_file(tmp_path: Path) -> None:
    environ = {"WORTWRIGHT_DATABASE_URL": f"sqlite:///{tmp_path}/club.sqlite3"}
    first, second = (Settings.from_environment(environ) for _ in range(2))
    kept = tmp_path / "club.sqlite3.pepper"
    assert len(first.pepper) == 64
    assert first == second
    assert kept.stat().st_mode & 0o777 == 0o600


@pytest.mark.parametrize("url", ["postgresql://brewer@db/wortwright", "sqlite:///", "sqlite://"])
def test_without_a_file_for_it_the_pepper_must_be_given(url: str) -> None:
    with pytest.raises(SettingsError, match="WORTWRIGHT_PEPPER"):
        Settings.from_environment({"WORTWRIGHT_DATABASE_URL": url})
